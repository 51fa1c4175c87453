/* SPDX-License-Identifier: MIT */
/* Looked for before libyaml sees the text, because its complaints about these have no
 * place. */
#include "fit_text.h"

static bool is_printable_ascii(char c)
{
    return (c >= ' ' && c <= '~') || c == '\n' || c == '\r' || c == '\t';
}

/* What is wrong with a character that is no printable ASCII; NULL when nothing is. */
static const char *why_unfit(text character)
{
    static const struct {
        const char *from;
        const char *to;
        const char *why;
    } ranges[] = {{"\x01", "\x1F", "this is a control character"},
                  {"\x7F", "\x7F", "this is a control character"},
                  {"\xC2\x80", "\xC2\x84", "this is a control character"},
                  {"\xC2\x85", "\xC2\x85", "few programs see this line break"},
                  {"\xC2\x86", "\xC2\x9F", "this is a control character"},
                  {"\xE2\x80\xA8", "\xE2\x80\xA9", "few programs see this line break"},
                  {"\xEF\xBB\xBF", "\xEF\xBB\xBF",
                   "a byte order mark may only start a file, and cannot be seen"},
                  {"\xEF\xBF\xBE", "\xEF\xBF\xBF", "this is no character"}};
    for (size_t i = 0; i < sizeof ranges / sizeof *ranges; i++) {
        const text from = text_of(ranges[i].from);
        if (from.length == character.length && text_compare(from, character) <= 0 &&
            text_compare(character, text_of(ranges[i].to)) <= 0) {
            return ranges[i].why;
        }
    }
    return character.at[0] == '\0' ? ranges[0].why : NULL;
}

bool text_is_fit(text all, size_t from, struct unfit *out)
{
    for (size_t at = from; at < all.length;) {
        if (is_printable_ascii(all.at[at])) {
            at++;
            continue;
        }
        const size_t length = text_utf8_length(all, at);
        if (length == 0) {
            *out = (struct unfit){CODE_UTF8_INVALID, at, 1,
                                  "this byte is not valid UTF-8", "a text file in UTF-8"};
            return false;
        }
        const char *why = why_unfit(text_slice(all, at, at + length));
        if (why != NULL) {
            *out =
                (struct unfit){CODE_CONTROL_CHARACTER, at, length, why, "printable text"};
            return false;
        }
        at += length;
    }
    return true;
}
