/*
 * A wire between two machines that are none: two network namespaces, each with an interface (TUN), and this process between them, which
 * holds each packet back for a while, and loses some. What TCP does about that is what it does on a real network.
 *
 *     band-wire THERE-MS THERE-JITTER-MS BACK-MS BACK-JITTER-MS LOSS
 *
 * A packet from the first namespace takes THERE-MS and up to so much more, evenly spread; it never overtakes one before it. LOSS: the share
 * that is lost, both ways. Prints "ready FIRST SECOND", two paths for nsenter; the addresses are 192.0.2.1 and 192.0.2.2 (RFC 5737). A byte
 * on standard input cuts the wire or mends it: 'c', 'm'. It ends when that closes.
 */
#define _GNU_SOURCE
#include <arpa/inet.h>
#include <fcntl.h>
#include <linux/if.h>
#include <linux/if_tun.h>
#include <poll.h>
#include <sched.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <sys/socket.h>
#include <time.h>
#include <unistd.h>

#define ROOM 8192
#define LONGEST 2048

struct packet {
  long long due;
  size_t length;
  unsigned char bytes[LONGEST];
};

/* What is on its way in one direction, in order. */
struct way {
  double delay, jitter;
  int from, to;
  long long latest;
  size_t first, count;
  struct packet *packets;
};

static double loss;
static int cut;

static void fail(const char *what) {
  perror(what);
  exit(1);
}

static long long now(void) {
  struct timespec time;
  clock_gettime(CLOCK_MONOTONIC, &time);
  return time.tv_sec * 1000000000LL + time.tv_nsec;
}

static void set_address(int socket_, struct ifreq *request, unsigned long what, const char *text) {
  struct sockaddr_in *address = (struct sockaddr_in *)&request->ifr_addr;
  memset(address, 0, sizeof *address);
  address->sin_family = AF_INET;
  inet_pton(AF_INET, text, &address->sin_addr);
  if (ioctl(socket_, what, request) < 0) fail(text);
}

static void raise_interface(int socket_, struct ifreq *request) {
  request->ifr_flags = IFF_UP | IFF_RUNNING;
  if (ioctl(socket_, SIOCSIFFLAGS, request) < 0) fail(request->ifr_name);
}

/* A namespace of its own with one interface; answers the interface, and leaves the namespace open as `space`. */
static int machine(const char *address, int *space) {
  if (unshare(CLONE_NEWNET) < 0) fail("unshare");
  int tun = open("/dev/net/tun", O_RDWR | O_NONBLOCK);
  if (tun < 0) fail("/dev/net/tun");
  struct ifreq request = {.ifr_flags = IFF_TUN | IFF_NO_PI};
  strcpy(request.ifr_name, "wire");
  if (ioctl(tun, TUNSETIFF, &request) < 0) fail("TUNSETIFF");
  int socket_ = socket(AF_INET, SOCK_DGRAM, 0);
  set_address(socket_, &request, SIOCSIFADDR, address);
  set_address(socket_, &request, SIOCSIFNETMASK, "255.255.255.252");
  raise_interface(socket_, &request);
  strcpy(request.ifr_name, "lo");
  raise_interface(socket_, &request);
  close(socket_);
  *space = open("/proc/self/ns/net", O_RDONLY);
  if (*space < 0) fail("namespace");
  return tun;
}

static void take(struct way *way) {
  for (;;) {
    struct packet *packet = &way->packets[(way->first + way->count) % ROOM];
    ssize_t length = read(way->from, packet->bytes, LONGEST);
    if (length <= 0) return;
    if (cut || way->count == ROOM - 1 || drand48() < loss) continue;
    long long due = now() + (long long)(1e6 * (way->delay + way->jitter * drand48()));
    packet->due = way->latest = due > way->latest ? due : way->latest;
    packet->length = (size_t)length;
    way->count += 1;
  }
}

/* Hands over what is due; answers when the next is, or -1. */
static long long give(struct way *way) {
  while (way->count > 0 && way->packets[way->first].due <= now()) {
    struct packet *packet = &way->packets[way->first];
    /* What the interface does not take is lost, as on any wire. */
    if (!cut && write(way->to, packet->bytes, packet->length) < 0) packet->length = 0;
    way->first = (way->first + 1) % ROOM;
    way->count -= 1;
  }
  return way->count > 0 ? way->packets[way->first].due : -1;
}

int main(int count, char **words) {
  if (count != 6) {
    fprintf(stderr, "usage: band-wire THERE-MS JITTER-MS BACK-MS JITTER-MS LOSS\n");
    return 2;
  }
  int spaces[2];
  int first = machine("192.0.2.1", &spaces[0]);
  int second = machine("192.0.2.2", &spaces[1]);
  struct way ways[2] = {{.delay = atof(words[1]), .jitter = atof(words[2]), .from = first, .to = second},
                        {.delay = atof(words[3]), .jitter = atof(words[4]), .from = second, .to = first}};
  loss = atof(words[5]);
  for (int at = 0; at < 2; at += 1)
    if (!(ways[at].packets = calloc(ROOM, sizeof(struct packet)))) fail("memory");
  srand48(now());
  struct sched_param priority = {.sched_priority = 2};
  sched_setscheduler(0, SCHED_FIFO, &priority); /* Only a help: a late wake-up would be the wire's. */
  printf("ready /proc/%d/fd/%d /proc/%d/fd/%d\n", getpid(), spaces[0], getpid(), spaces[1]);
  fflush(stdout);
  struct pollfd waiting[3] = {{.fd = first, .events = POLLIN}, {.fd = second, .events = POLLIN}, {.fd = 0, .events = POLLIN}};
  for (;;) {
    long long next = -1;
    for (int at = 0; at < 2; at += 1) {
      take(&ways[at]);
      long long due = give(&ways[at]);
      if (due >= 0 && (next < 0 || due < next)) next = due;
    }
    long long left = next < 0 ? 1000000000LL : next - now();
    struct timespec limit = {left > 0 ? left / 1000000000LL : 0, left > 0 ? left % 1000000000LL : 0};
    ppoll(waiting, 3, &limit, NULL);
    if (waiting[2].revents) {
      char byte;
      if (read(0, &byte, 1) <= 0) return 0;
      cut = byte == 'c';
    }
  }
}
