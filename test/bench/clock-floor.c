/*
 * The operating system's floor: sends bytes at given times with the C library's absolute sleep and nothing else.
 *
 *     clock-floor PATH NICE < SCHEDULE
 *
 * SCHEDULE has a line for each deadline, "NANOSECONDS HEX-BYTES", counted from a start that this program chooses.
 * PATH is a named pipe that is being read. Prints "nice N", the priority it runs at, and at the end for each deadline
 * the time, in nanoseconds, at which its bytes were handed to the pipe.
 */
#define _GNU_SOURCE
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/resource.h>
#include <time.h>
#include <unistd.h>

#define START_NS 200000000LL
#define MOST_BYTES 256

struct deadline {
  long long time, sent;
  size_t length;
  unsigned char bytes[MOST_BYTES];
};

static struct deadline *deadlines;
static size_t deadline_count;

static void fail(const char *what) {
  perror(what);
  exit(1);
}

static long long now(void) {
  struct timespec time;
  clock_gettime(CLOCK_MONOTONIC, &time);
  return time.tv_sec * 1000000000LL + time.tv_nsec;
}

static void read_schedule(void) {
  size_t room = 0;
  long long time;
  char hex[2 * MOST_BYTES + 1];
  while (scanf("%lld %512s", &time, hex) == 2) {
    if (deadline_count == room) {
      room = room ? room * 2 : 4096;
      deadlines = realloc(deadlines, room * sizeof *deadlines);
      if (!deadlines) fail("memory");
    }
    struct deadline *one = &deadlines[deadline_count++];
    *one = (struct deadline){.time = time, .length = strlen(hex) / 2};
    for (size_t at = 0; at < one->length; at += 1) {
      unsigned int byte;
      sscanf(hex + 2 * at, "%2x", &byte);
      one->bytes[at] = (unsigned char)byte;
    }
  }
}

/*
 * The same means as the player has: its priority, and the session's, which is what Linux usually goes by. What it came to is
 * printed.
 */
static void go_first(const char *nice) {
  setpriority(PRIO_PROCESS, 0, atoi(nice));
  FILE *session = fopen("/proc/self/autogroup", "w");
  if (!session) return;
  fprintf(session, "%s", nice);
  fclose(session);
}

static void sleep_until(long long time) {
  struct timespec until = {.tv_sec = time / 1000000000LL, .tv_nsec = time % 1000000000LL};
  while (clock_nanosleep(CLOCK_MONOTONIC, TIMER_ABSTIME, &until, NULL) == EINTR) continue;
}

int main(int count, char **words) {
  if (count != 3) {
    fprintf(stderr, "usage: clock-floor PATH NICE < SCHEDULE\n");
    return 2;
  }
  read_schedule();
  int pipe = open(words[1], O_WRONLY | O_NONBLOCK);
  if (pipe < 0) fail(words[1]);
  go_first(words[2]);
  mlockall(MCL_CURRENT);
  printf("nice %d\n", getpriority(PRIO_PROCESS, 0));
  fflush(stdout);
  long long start = now() + START_NS;
  for (size_t index = 0; index < deadline_count; index += 1) {
    struct deadline *one = &deadlines[index];
    sleep_until(start + one->time);
    one->sent = now();
    if (write(pipe, one->bytes, one->length) < 0) fail("write");
  }
  for (size_t index = 0; index < deadline_count; index += 1) printf("%lld\n", deadlines[index].sent);
  return 0;
}
