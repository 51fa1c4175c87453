/* SPDX-License-Identifier: MIT */
/*
 * How reports look, on a wide screen, on a telephone and on paper. Words carry what
 * colours say. Each text colour stands to its ground as 4.5 to 1 or better (WCAG 2.2,
 * success criterion 1.4.3); no size is below what the reader has chosen.
 */
#include "report.h"

/* Grounds and inks: paper, ink, quiet ink, lines; then a pair for each tone. */
static const char *const colours[] = {
    ":root{--paper:#fcfbf8;--ink:#1c2126;--quiet:#4d565e;--line:#cfd3d1;--link:#17497c;",
    "--good:#11562b;--good-ground:#e4f2e7;--work:#0b4f63;--work-ground:#e0f0f4;",
    "--bad:#8f1a14;--bad-ground:#fbe8e4;--open:#674600;--open-ground:#fbf1d2}\n",
    ".good{--tone:var(--good);--ground:var(--good-ground)}\n",
    ".work{--tone:var(--work);--ground:var(--work-ground)}\n",
    ".bad{--tone:var(--bad);--ground:var(--bad-ground)}\n",
    ".open{--tone:var(--open);--ground:var(--open-ground)}\n",
    ".plain{--tone:var(--ink);--ground:#eceeec}\n",
};

static const char *const screen[] = {
    "*{box-sizing:border-box}\n",
    "html{-webkit-text-size-adjust:100%;text-size-adjust:100%}\n",
    "body{margin:0;background:var(--paper);color:var(--ink);",
    "font:1rem/1.5 system-ui,sans-serif}\n",
    "main{max-width:58rem;margin:0 auto;padding:1rem;overflow-wrap:anywhere}\n",
    "h1{font-size:2rem;line-height:1.2;margin:.2rem 0}\n",
    "h2{font-size:1.2rem;margin:2rem 0 .5rem;padding-bottom:.2rem;",
    "border-bottom:2px solid var(--line)}\n",
    "h3{font-size:1rem;margin:1.2rem 0 .3rem}\n",
    "p,ul,ol,dl{margin:.4rem 0}ul,ol{padding-left:1.4rem}\n",
    "a{color:var(--link)}a:focus-visible,summary:focus-visible{outline:3px solid ",
    "var(--link);outline-offset:2px}\n",
    ".verdict{border-left:.6rem solid var(--tone);background:var(--ground);",
    "padding:.8rem 1rem;margin:.5rem 0 1rem}\n",
    ".verdict h1{color:var(--tone)}.verdict h1::first-letter{text-transform:uppercase}\n",
    ".verdict .asks{margin:0;color:var(--quiet);font-size:.95rem}\n",
    "dl.facts{display:grid;grid-template-columns:6.5rem 1fr;gap:.15rem .8rem}\n",
    ".facts dt{color:var(--quiet)}.facts dd{margin:0}\n",
    ".facts dd+dd{grid-column:2}\n",
    ".mark{display:inline-block;color:var(--tone);background:var(--ground);",
    "border:1px solid var(--tone);border-radius:.2rem;padding:0 .4rem;",
    "font-weight:600;white-space:nowrap}\n",
    "table{border-collapse:collapse;width:100%;font-variant-numeric:tabular-nums}\n",
    "th,td{text-align:left;vertical-align:top;padding:.4rem .6rem .4rem 0;",
    "border-bottom:1px solid var(--line)}\n",
    "thead th{color:var(--quiet);font-weight:400;font-size:.95rem;white-space:nowrap}\n",
    "tbody th{font-weight:600}p.says{margin:.15rem 0 0}\n",
    ".note,.by,figcaption{color:var(--quiet);font-size:.95rem}\n",
    ".findings{table-layout:fixed}.findings th:first-child{width:32%}",
    ".findings thead th:nth-child(2){width:6.4rem}.findings thead ",
    "th:nth-child(3){width:24%}\n",
    ".compared tbody th{white-space:nowrap;width:1%}",
    ".sources th:first-child{width:45%}.sources tbody th{font-weight:400}\n",
    "td p,li p{margin:0}\n",
    ".unseen{position:absolute;width:1px;height:1px;overflow:hidden;",
    "clip-path:inset(50%);white-space:nowrap}\n",
    "details{border:1px solid var(--line);margin:1rem 0;padding:.4rem .8rem}\n",
    "summary{cursor:pointer;font-weight:600;padding:.3rem 0}\n",
    ".steps{padding-left:3rem}.steps li{margin:.5rem 0}.steps li:target{background:",
    "var(--open-ground)}\n",
    ".let,code{font-family:ui-monospace,monospace;font-size:.92rem}\n",
    ".said{white-space:pre-wrap;background:#fff;border:1px solid var(--line);",
    "padding:.6rem .8rem}.said mark{color:inherit;background:var(--ground);",
    "border-bottom:2px solid var(--tone);padding:0 .1rem}.said mark.bad{border-bottom:",
    "4px double var(--tone);font-weight:600}.said mark.open{border-bottom-style:dashed}",
    ".said mark.plain{border-bottom-color:transparent}.said mark ",
    "a{font-size:.75rem;vertical-align:super;margin-left:.15rem;color:var(--tone)}\n",
    ".claims th:first-child{width:26%}.claims thead th:nth-child(2){width:22%}",
    ".claims thead th:nth-child(3){width:7.5rem}tr:target,mark:target{outline:2px solid ",
    "var(--tone,var(--link))}\n",
    ".blanks th:first-child{width:30%}.blanks .blank{min-width:7rem}\n",
    ".tick{list-style:none;padding-left:0}.tick ",
    "li{padding-left:1.9rem;position:relative;",
    "margin:.45rem 0}\n",
    ".tick li::before{content:\"\";position:absolute;left:0;top:.25rem;width:1.05rem;",
    "height:1.05rem;border:1.5px solid var(--ink)}\n",
    ".blank{display:inline-block;min-width:11rem;border-bottom:1px solid var(--ink)}\n",
    ".caution{border:2px solid var(--ink);padding:.6rem 1rem;margin:2rem 0 1rem}\n",
    ".caution h2{border:0;margin:0}\n",
    "figure{margin:1rem 0}.picture{overflow-x:auto}.picture ",
    "svg{display:block;width:100%;",
    "min-width:44rem;height:auto;background:#fff}",
    ".picture:focus-visible{outline:3px solid var(--link)}\n",
    ".deep-1{margin-left:1.2rem}.deep-2{margin-left:2.4rem}.deep-3{margin-left:3.6rem}",
    ".deep-4{margin-left:4.8rem}.deep-5,.deep-6,.deep-7,.deep-8{margin-left:6rem}\n",
};

/* A row of a table becomes a block where there is no room beside it. */
static const char *const narrow[] = {
    "@media screen and (max-width:40rem){\n",
    "main{padding:.6rem .8rem}h1{font-size:1.6rem}\n",
    "thead{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}",
    "\n",
    "table,tbody,th,td{display:block}.findings th:first-child,.sources ",
    "th:first-child,.claims th:first-child{width:auto}\n",
    "tr{display:grid;grid-template-columns:auto 1fr;column-gap:.6rem}",
    "tr>*{grid-column:1/-1}td.outcome{grid-column:1}td.margin{grid-column:2}\n",
    ".deep-1,.deep-2,.deep-3,.deep-4,.deep-5,.deep-6,.deep-7,.deep-8{",
    "margin-left:.8rem}\n",
    "tr{border-bottom:1px solid var(--line);padding:.6rem 0}\n",
    "th,td{border:0;padding:.1rem 0}td:empty{display:none}\n",
    "dl.facts{grid-template-columns:1fr}.facts dd+dd{grid-column:1}\n",
    ".facts dt{margin-top:.4rem}\n",
    "}\n",
};

static const char *const paper[] = {
    "@page{margin:16mm 14mm}\n",
    "@media print{\n",
    "body{background:#fff;font-size:10pt;line-height:1.35}\n",
    "main{max-width:none;padding:0}.screen{display:none!important}\n",
    "h1{font-size:19pt}h2{font-size:12.5pt;margin-top:14pt;break-after:avoid}\n",
    "h3{break-after:avoid}p,li{orphans:3;widows:3}\n",
    "tr,li,dd,.picture svg,.caution,.verdict,.keep{break-inside:avoid}\n",
    "thead{display:table-header-group;break-after:avoid}",
    "tbody tr:first-child{break-before:avoid}\n",
    ".verdict,.mark{-webkit-print-color-adjust:exact;print-color-adjust:exact}\n",
    /* what is left of a first page, Letter too, below a verdict with its reasons */
    ".picture{overflow:visible}.picture svg{min-width:0;width:auto;max-width:100%;",
    "max-height:178mm;margin:0 auto}\n",
    "a{color:inherit;text-decoration:none}details:not([open]){display:none}\n",
    "details{border:0;padding:0}\n",
    "}\n",
};

static void write_lines(struct writer *writer, const char *const *lines, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        html_raw(writer, lines[i]);
    }
}

void report_style(struct writer *writer)
{
    write_lines(writer, colours, sizeof colours / sizeof *colours);
    write_lines(writer, screen, sizeof screen / sizeof *screen);
    write_lines(writer, narrow, sizeof narrow / sizeof *narrow);
    write_lines(writer, paper, sizeof paper / sizeof *paper);
}
