/* SPDX-License-Identifier: MIT */
/* Where the page listens, and by which names it may be called there. */
#include "page_private.h"

#include <arpa/inet.h>
#include <errno.h>
#include <fcntl.h>
#include <netinet/in.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/socket.h>
#include <unistd.h>

enum {
    HOST_ROOM = 256
};

/* Splits "HOST:PORT", "[ADDRESS]:PORT" or "HOST"; the port stays as it is where none is
 * said. false: it is none of these. */
static bool split(const char *spec, char *host, unsigned *port)
{
    const bool is_bracketed = spec[0] == '[';
    const char *end = is_bracketed ? strchr(spec, ']') : strchr(spec, ':');
    const char *from = is_bracketed ? spec + 1 : spec;
    const size_t length = end == NULL ? strlen(from) : (size_t)(end - from);
    if ((is_bracketed && end == NULL) || length == 0 || length >= HOST_ROOM) {
        return false;
    }
    memcpy(host, from, length);
    host[length] = '\0';
    const char *rest = end == NULL ? "" : is_bracketed ? end + 1 : end;
    if (*rest == '\0') {
        return true;
    }
    if (*rest != ':' || rest[1] < '0' || rest[1] > '9' || strlen(rest) > 6) {
        return false;
    }
    char *stop = NULL;
    const unsigned long number = strtoul(rest + 1, &stop, 10);
    *port = (unsigned)number;
    return *stop == '\0' && number <= 65535;
}

static bool is_numeric(const char *host)
{
    struct in_addr four;
    struct in6_addr six;
    return inet_pton(AF_INET, host, &four) == 1 || inet_pton(AF_INET6, host, &six) == 1;
}

bool host_is_ours(const struct host_rules *rules, const char *host)
{
    char name[HOST_ROOM];
    unsigned port = 80; /* RFC 9110, section 4.2.1 */
    if (!split(host, name, &port) || port != rules->port) {
        return false;
    }
    if (is_numeric(name) || strcasecmp(name, "localhost") == 0) {
        return true;
    }
    for (size_t i = 0; i < rules->name_count; i++) {
        if (strcasecmp(name, rules->names[i]) == 0) {
            return true;
        }
    }
    return false;
}

/* ---- listening */

/* An address as it is written; "localhost" is 127.0.0.1. false: it is none. */
static bool socket_address(const char *host, unsigned port, struct sockaddr_storage *out,
                           socklen_t *length, bool *is_local)
{
    struct sockaddr_in *four = (struct sockaddr_in *)out;
    struct sockaddr_in6 *six = (struct sockaddr_in6 *)out;
    memset(out, 0, sizeof *out);
    const char *numeric = strcasecmp(host, "localhost") == 0 ? "127.0.0.1" : host;
    if (inet_pton(AF_INET, numeric, &four->sin_addr) == 1) {
        four->sin_family = AF_INET;
        four->sin_port = htons((uint16_t)port);
        *length = sizeof *four;
        *is_local = (ntohl(four->sin_addr.s_addr) >> 24) == 127;
        return true;
    }
    if (inet_pton(AF_INET6, numeric, &six->sin6_addr) == 1) {
        six->sin6_family = AF_INET6;
        six->sin6_port = htons((uint16_t)port);
        *length = sizeof *six;
        *is_local = IN6_IS_ADDR_LOOPBACK(&six->sin6_addr);
        return true;
    }
    return false;
}

static unsigned port_of(int listener)
{
    struct sockaddr_storage bound;
    socklen_t length = sizeof bound;
    if (getsockname(listener, (struct sockaddr *)&bound, &length) != 0) {
        return 0;
    }
    return ntohs(bound.ss_family == AF_INET6 ? ((struct sockaddr_in6 *)&bound)->sin6_port
                                             : ((struct sockaddr_in *)&bound)->sin_port);
}

static int open_listener(const struct sockaddr_storage *address, socklen_t length)
{
    const int yes = 1;
    const int listener = socket(address->ss_family, SOCK_STREAM, 0);
    if (listener < 0) {
        return -1;
    }
    (void)setsockopt(listener, SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes);
    if (address->ss_family == AF_INET6) {
        (void)setsockopt(listener, IPPROTO_IPV6, IPV6_V6ONLY, &yes, sizeof yes);
    }
    if (bind(listener, (const struct sockaddr *)address, length) != 0 ||
        listen(listener, PAGE_CONNECTIONS) != 0 ||
        fcntl(listener, F_SETFD, FD_CLOEXEC) != 0 ||
        fcntl(listener, F_SETFL, O_NONBLOCK) != 0) {
        const int why = errno;
        (void)close(listener);
        errno = why;
        return -1;
    }
    return listener;
}

int host_listen(const char *spec, char *address, size_t address_size, unsigned *port,
                bool *is_local, char *fault, size_t fault_size)
{
    char host[HOST_ROOM] = "127.0.0.1";
    struct sockaddr_storage bound;
    socklen_t length = 0;
    const bool is_port_alone = strspn(spec, "0123456789") == strlen(spec);
    char whole[HOST_ROOM + 16];
    (void)snprintf(whole, sizeof whole, "%s%s", is_port_alone ? "127.0.0.1:" : "", spec);
    *port = 8471;
    if (!split(whole, host, port) ||
        !socket_address(host, *port, &bound, &length, is_local)) {
        (void)snprintf(fault, fault_size, "this is no address to listen at");
        return -1;
    }
    const int listener = open_listener(&bound, length);
    if (listener < 0) {
        (void)snprintf(fault, fault_size, "nobody can listen there: %s", strerror(errno));
        return -1;
    }
    *port = port_of(listener);
    (void)snprintf(address, address_size,
                   bound.ss_family == AF_INET6 ? "http://[%s]:%u/" : "http://%s:%u/",
                   host, *port);
    return listener;
}
