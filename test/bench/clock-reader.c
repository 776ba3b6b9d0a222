/*
 * Reads a named pipe and stamps what arrives, on the monotonic clock that all processes share.
 *
 *     clock-reader PATH poll|spin
 *
 * spin: looks at the pipe without pause, so that no wake-up of its own is measured; it takes a core.
 * poll: sleeps until something arrives, for machines whose cores are needed for something else.
 *
 * Prints "ready KIND" once it reads; KIND is the priority it was given. The byte FF (which no music has) ends it:
 * it then prints a line for each batch that arrived, "NANOSECONDS HEX-BYTES".
 */
#define _GNU_SOURCE
#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <sched.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/resource.h>
#include <time.h>
#include <unistd.h>

#define END_MARK 0xff

struct batch {
  long long time;
  size_t start, length;
};

static struct batch *batches;
static size_t batch_count, batch_room = 1 << 18;
static unsigned char *bytes;
static size_t byte_count, byte_room = 1 << 22;

static void fail(const char *what) {
  perror(what);
  exit(1);
}

static long long now(void) {
  struct timespec time;
  clock_gettime(CLOCK_MONOTONIC, &time);
  return time.tv_sec * 1000000000LL + time.tv_nsec;
}

/* Room for what arrives, touched beforehand so that no page fault falls into the measurement. */
static void make_room(void) {
  batches = malloc(batch_room * sizeof *batches);
  bytes = malloc(byte_room);
  if (!batches || !bytes) fail("memory");
  memset(batches, 0, batch_room * sizeof *batches);
  memset(bytes, 0, byte_room);
  mlockall(MCL_CURRENT); /* Only a help; most systems let no one but root do it. */
}

static void grow(void) {
  if (batch_count == batch_room) {
    batch_room *= 2;
    batches = realloc(batches, batch_room * sizeof *batches);
  }
  if (byte_room - byte_count < 65536) {
    byte_room *= 2;
    bytes = realloc(bytes, byte_room);
  }
  if (!batches || !bytes) fail("memory");
}

/*
 * A sleeping reader that waits for its turn would add its own lateness to everybody's: it asks to be first. A spinning
 * one must not, for it would hold back whatever comes to its core.
 */
static const char *raise_priority(int spin) {
  struct sched_param first = {.sched_priority = 1};
  if (spin) return "nice 0";
  if (sched_setscheduler(0, SCHED_FIFO, &first) == 0) return "real-time";
  return setpriority(PRIO_PROCESS, 0, -20) == 0 ? "nice -20" : "nice 0";
}

/* Takes what has arrived; answers whether the end mark was in it. */
static int take(int pipe) {
  ssize_t length = read(pipe, bytes + byte_count, 65536);
  if (length <= 0) {
    if (length < 0 && errno != EAGAIN && errno != EINTR) fail("read");
    return 0;
  }
  batches[batch_count] = (struct batch){now(), byte_count, (size_t)length};
  batch_count += 1;
  byte_count += (size_t)length;
  int ended = bytes[byte_count - 1] == END_MARK;
  grow();
  return ended;
}

static void print_batches(void) {
  for (size_t index = 0; index < batch_count; index += 1) {
    printf("%lld ", batches[index].time);
    for (size_t at = 0; at < batches[index].length; at += 1) printf("%02x", bytes[batches[index].start + at]);
    putchar('\n');
  }
}

int main(int count, char **words) {
  if (count != 3) {
    fprintf(stderr, "usage: clock-reader PATH poll|spin\n");
    return 2;
  }
  int spin = strcmp(words[2], "spin") == 0;
  make_room();
  /* Open for writing too, so that the pipe does not end while writers come and go. */
  int pipe = open(words[1], O_RDWR | O_NONBLOCK);
  if (pipe < 0) fail(words[1]);
  printf("ready %s\n", raise_priority(spin));
  fflush(stdout);
  struct pollfd waiting = {.fd = pipe, .events = POLLIN};
  do {
    if (!spin) poll(&waiting, 1, -1);
  } while (!take(pipe));
  print_batches();
  return 0;
}
