/* Preloaded into a program, lets file calls in one folder fail, or its disk be full.
 *
 *   fail_in(folder)               the folder watched, by its absolute path; its files are counted from here on
 *   fail_at(n, error, sticky)     the n-th call that changes something fails; 0 for none; sticky: all after it too
 *   fail_calls()                  how many such calls there were since fail_in
 *   room_left(bytes)              so much may be written in the folder before its disk is full; -1 for no limit
 *
 * Counted are writes, cuts, syncs, names made, taken away or changed. Calls go straight to the kernel.
 */
#define _GNU_SOURCE
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/types.h>
#include <unistd.h>

static char folder[PATH_MAX];
static long calls, fails_from;
static int error_no, is_sticky;
static int64_t room = -1;

void fail_in(const char *path) {
  snprintf(folder, sizeof folder, "%s", path);
  calls = fails_from = 0;
  room = -1;
}

void fail_at(long n, int error, int sticky) { fails_from = n; error_no = error; is_sticky = sticky; }
long fail_calls(void) { return calls; }
void room_left(int64_t bytes) { room = bytes; }

static int watched(const char *path) { return folder[0] && !strncmp(path, folder, strlen(folder)); }

static int watched_fd(int fd) {
  char link[64], path[PATH_MAX];
  if (!folder[0]) return 0;
  snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
  ssize_t n = syscall(SYS_readlinkat, AT_FDCWD, link, path, sizeof path - 1);
  if (n < 0) return 0;
  path[n] = 0;
  return watched(path);
}

/* Whether this call fails, with errno set. */
static int struck(void) {
  calls++;
  if (!fails_from || calls < fails_from || (calls > fails_from && !is_sticky)) return 0;
  errno = error_no;
  return 1;
}

static void freed(int64_t bytes) { if (room >= 0 && bytes > 0) room += bytes; }

static int64_t size_of(const char *path) {
  struct stat about;
  return syscall(SYS_newfstatat, AT_FDCWD, path, &about, 0) || !S_ISREG(about.st_mode) ? 0 : about.st_size;
}

static int do_open(int at, const char *path, int flags, mode_t mode) {
  struct stat about;
  int is_new = (flags & O_CREAT) && watched(path) && syscall(SYS_newfstatat, at, path, &about, 0);
  if (is_new && struck()) return -1;
  if (!is_new && (flags & O_TRUNC) && watched(path)) freed(size_of(path));
  return syscall(SYS_openat, at, path, flags, mode);
}

#define MODE_OF_CALL                                                                    \
  mode_t mode = 0;                                                                      \
  if (flags & (O_CREAT | O_TMPFILE)) {                                                  \
    va_list rest; va_start(rest, flags); mode = va_arg(rest, mode_t); va_end(rest);     \
  }

int open(const char *path, int flags, ...) { MODE_OF_CALL return do_open(AT_FDCWD, path, flags, mode); }
int open64(const char *path, int flags, ...) { MODE_OF_CALL return do_open(AT_FDCWD, path, flags, mode); }
int openat(int at, const char *path, int flags, ...) { MODE_OF_CALL return do_open(at, path, flags, mode); }
int openat64(int at, const char *path, int flags, ...) { MODE_OF_CALL return do_open(at, path, flags, mode); }

static ssize_t do_write(int fd, const void *data, size_t size, off_t at, int at_is_given) {
  if (watched_fd(fd)) {
    struct stat about;
    if (struck()) return -1;
    off_t start = at;
    if (!at_is_given) start = lseek(fd, 0, fcntl(fd, F_GETFL) & O_APPEND ? SEEK_END : SEEK_CUR);
    if (room >= 0 && !fstat(fd, &about)) {
      int64_t growth = (int64_t)start + (int64_t)size - (int64_t)about.st_size;
      if (growth > room) { errno = ENOSPC; return -1; }
      if (growth > 0) room -= growth;
    }
  }
  return at_is_given ? syscall(SYS_pwrite64, fd, data, size, at) : syscall(SYS_write, fd, data, size);
}

ssize_t write(int fd, const void *data, size_t size) { return do_write(fd, data, size, 0, 0); }
ssize_t pwrite(int fd, const void *data, size_t size, off_t at) { return do_write(fd, data, size, at, 1); }
ssize_t pwrite64(int fd, const void *data, size_t size, off_t at) { return do_write(fd, data, size, at, 1); }

int fsync(int fd) { return watched_fd(fd) && struck() ? -1 : syscall(SYS_fsync, fd); }
int fdatasync(int fd) { return watched_fd(fd) && struck() ? -1 : syscall(SYS_fdatasync, fd); }

static int do_cut(int fd, off_t size) {
  struct stat about;
  if (watched_fd(fd)) {
    if (struck()) return -1;
    if (!fstat(fd, &about)) freed((int64_t)about.st_size - (int64_t)size);
  }
  return syscall(SYS_ftruncate, fd, size);
}

int ftruncate(int fd, off_t size) { return do_cut(fd, size); }
int ftruncate64(int fd, off_t size) { return do_cut(fd, size); }

int unlink(const char *path) {
  int64_t size = 0;
  if (watched(path)) {
    if (struck()) return -1;
    size = size_of(path);
  }
  int answer = syscall(SYS_unlinkat, AT_FDCWD, path, 0);
  if (!answer) freed(size);
  return answer;
}

int rename(const char *from, const char *to) {
  int64_t size = 0;
  if (watched(from)) {
    if (struck()) return -1;
    size = size_of(to);
  }
  int answer = syscall(SYS_renameat2, AT_FDCWD, from, AT_FDCWD, to, 0);
  if (!answer) freed(size);
  return answer;
}

int mkdir(const char *path, mode_t mode) {
  if (watched(path) && struck()) return -1;
  return syscall(SYS_mkdirat, AT_FDCWD, path, mode);
}
