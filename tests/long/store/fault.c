/*
 * Makes writes to a database fail as a broken or full disk does, for a process that is started with this library in
 * LD_PRELOAD. WHITETHREAD_FAULT is "N:ERRNO:": from the N-th write or sync after it was set, all fail, until it is taken away.
 */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/types.h>
#include <unistd.h>

static char plan[32];
static int count;

static int is_database(int fd) {
  char link[40], path[4096];
  snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
  ssize_t length = readlink(link, path, sizeof path - 1);
  if (length < 0) return 0;
  path[length] = 0;
  return strstr(path, ".db") != NULL;
}

static int fails(int fd) {
  const char *now = getenv("WHITETHREAD_FAULT");
  if (now == NULL || !is_database(fd)) return 0;
  if (strcmp(now, plan) != 0) {
    snprintf(plan, sizeof plan, "%s", now);
    count = 0;
  }
  count += 1;
  if (count < atoi(now)) return 0;
  errno = atoi(strchr(now, ':') + 1);
  return 1;
}

#define REAL(name) static __typeof__(&name) real; if (real == NULL) real = (__typeof__(&name))dlsym(RTLD_NEXT, #name)

ssize_t write(int fd, const void *bytes, size_t size) { REAL(write); return fails(fd) ? -1 : real(fd, bytes, size); }
ssize_t pwrite(int fd, const void *bytes, size_t size, off_t at) { REAL(pwrite); return fails(fd) ? -1 : real(fd, bytes, size, at); }
ssize_t pwrite64(int fd, const void *bytes, size_t size, off64_t at) { REAL(pwrite64); return fails(fd) ? -1 : real(fd, bytes, size, at); }
int fsync(int fd) { REAL(fsync); return fails(fd) ? -1 : real(fd); }
int fdatasync(int fd) { REAL(fdatasync); return fails(fd) ? -1 : real(fd); }
