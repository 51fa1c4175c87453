/* SPDX-License-Identifier: MIT */
/* The style sheet: that of reports, and what forms need beside it. */
#include "page_private.h"

static const char *const forms[] = {
    ".bar{padding:.6rem 1rem;background:#20303c;color:#fff}",
    ".bar a{color:#fff;font-weight:600;font-size:1.15rem}",
    ".bar span{margin-left:.6rem}footer.bar{margin-top:2rem;background:#e9ebe8;",
    "color:var(--ink)}\n",
    ".skip{position:absolute;left:-99rem}.skip:focus{left:.5rem;top:.5rem;",
    "background:#fff;padding:.5rem;z-index:1}\n",
    "form{margin:1rem 0}fieldset{border:1px solid var(--line);margin:1rem 0;",
    "padding:.4rem 1rem 1rem}legend{font-weight:600;padding:0 .4rem}\n",
    ".field{margin:.7rem 0}.field label{display:block}.field ",
    "label.beside{display:inline}.field input:not([type=checkbox]){display:block}.field ",
    ".now{color:var(--quiet)}\n",
    "input:not([type=checkbox]),select,textarea{font:inherit;color:inherit;background:#"
    "fff;",
    "width:100%;max-width:32rem;padding:.45rem .6rem;border:1px solid #6b747c;",
    "border-radius:.2rem}\n",
    "input[type=checkbox]{width:1.3rem;height:1.3rem;vertical-align:-.25rem}\n",
    "button{font:inherit;font-weight:600;padding:.55rem 1rem;margin:.3rem .4rem .3rem 0;",
    "border:1px solid var(--link);border-radius:.2rem;background:#fff;",
    "color:var(--link);cursor:pointer}button.first{background:var(--link);",
    "color:#fff}\n",
    "button:focus-visible,input:focus-visible,select:focus-visible,textarea:focus-"
    "visible{outline:3px solid ",
    "#b06f00;outline-offset:2px}\n",
    ".ways{display:flex;flex-wrap:wrap;gap:.4rem 1.1rem;list-style:none;padding:0;",
    "margin:.4rem 0 1rem}.ways a{display:inline-block;padding:.3rem 0}",
    ".ways a[aria-current]{font-weight:600;color:var(--ink)}\n",
    "pre{overflow-x:auto;background:#fff;border:1px solid var(--line);padding:.6rem;",
    "white-space:pre-wrap}\n",
    ".places .field{display:grid;grid-template-columns:1fr 1fr;gap:0 ",
    "1rem;align-items:center}",
    ".places .field input{grid-row:1/3;grid-column:2}.places datalist{display:none}",
    "@media screen and (max-width:40rem){.places .field{display:block}}\n",
    ".units{columns:2;column-gap:2rem}.units li{break-inside:avoid;margin:.35rem 0}",
    "@media screen and (max-width:40rem){.units{columns:1}}\n",
};

void style_write(struct buffer *out)
{
    if (whyfit_style_write(buffer_take, out) != WHYFIT_OK) {
        out->has_failed = true;
    }
    for (size_t i = 0; i < sizeof forms / sizeof *forms; i++) {
        buffer_add(out, forms[i]);
    }
}
