/* Preloaded into a program, writes down in order what it does to the files of one folder.
 *
 *   POWERCUT_FOLDER  the folder watched, by its absolute path
 *   POWERCUT_LOG     where the notes go, outside that folder
 *
 * A note is: one letter, then four 64-bit numbers (length of the path, length of the second path, offset, length
 * of the data), then path, second path and data.
 *   C made a file   M made a folder   W wrote   T cut to a length   S synced a file   D synced a folder
 *   U took a name away   R renamed    A a line of the file "told": what the program said was saved
 * Calls go straight to the kernel, so that no other library is needed to find the real ones.
 */
#define _GNU_SOURCE
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <pthread.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/types.h>
#include <unistd.h>

#define MOST_FILES 4096

static char *path_of[MOST_FILES];
static const char *folder;
static int log_file = -1;
static pthread_mutex_t turn = PTHREAD_MUTEX_INITIALIZER;

__attribute__((constructor)) static void start(void) {
  const char *log = getenv("POWERCUT_LOG");
  folder = getenv("POWERCUT_FOLDER");
  if (folder && log)
    log_file = syscall(SYS_openat, AT_FDCWD, log, O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0600);
}

static int watched(const char *path) {
  return folder && log_file >= 0 && !strncmp(path, folder, strlen(folder));
}

static int is_told(const char *path) {
  size_t n = strlen(path);
  return n >= 5 && !strcmp(path + n - 5, "/told");
}

static void note(char what, const char *path, const char *second, int64_t offset, const void *data, int64_t size) {
  int64_t lengths[4] = {(int64_t)strlen(path), second ? (int64_t)strlen(second) : 0, offset, size};
  pthread_mutex_lock(&turn);
  syscall(SYS_write, log_file, &what, 1);
  syscall(SYS_write, log_file, lengths, sizeof lengths);
  syscall(SYS_write, log_file, path, (size_t)lengths[0]);
  if (second) syscall(SYS_write, log_file, second, (size_t)lengths[1]);
  if (data && size > 0) syscall(SYS_write, log_file, data, (size_t)size);
  pthread_mutex_unlock(&turn);
}

static char *known(int fd) { return fd >= 0 && fd < MOST_FILES ? path_of[fd] : 0; }

/* The path as the kernel has it, whatever spelling the program used. */
static void remember(int fd, int flags, int was_there) {
  char link[64], path[PATH_MAX];
  struct stat about;
  if (fd < 0 || fd >= MOST_FILES || log_file < 0) return;
  snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
  ssize_t n = syscall(SYS_readlinkat, AT_FDCWD, link, path, sizeof path - 1);
  free(path_of[fd]);
  path_of[fd] = 0;
  if (n < 0) return;
  path[n] = 0;
  if (!watched(path)) return;
  path_of[fd] = strdup(path);
  if (!fstat(fd, &about) && S_ISDIR(about.st_mode)) return;
  if (!was_there) note('C', path, 0, 0, 0, 0);
  else if (flags & O_TRUNC) note('T', path, 0, 0, 0, 0);
}

static int do_open(int at, const char *path, int flags, mode_t mode) {
  struct stat about;
  int was_there = 1;
  if (log_file >= 0 && (flags & O_CREAT)) was_there = !syscall(SYS_newfstatat, at, path, &about, 0);
  int fd = syscall(SYS_openat, at, path, flags, mode);
  int kept = errno;
  remember(fd, flags, was_there);
  errno = kept;
  return fd;
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

int close(int fd) {
  if (known(fd)) { free(path_of[fd]); path_of[fd] = 0; }
  return syscall(SYS_close, fd);
}

static ssize_t do_write(int fd, const void *data, size_t size, off_t at, int at_is_given) {
  char *path = known(fd);
  off_t offset = at;
  if (path && !at_is_given)
    offset = lseek(fd, 0, fcntl(fd, F_GETFL) & O_APPEND ? SEEK_END : SEEK_CUR);
  ssize_t done = at_is_given ? syscall(SYS_pwrite64, fd, data, size, at) : syscall(SYS_write, fd, data, size);
  int kept = errno;
  if (path && done > 0) note(is_told(path) ? 'A' : 'W', path, 0, offset, data, done);
  errno = kept;
  return done;
}

ssize_t write(int fd, const void *data, size_t size) { return do_write(fd, data, size, 0, 0); }
ssize_t pwrite(int fd, const void *data, size_t size, off_t at) { return do_write(fd, data, size, at, 1); }
ssize_t pwrite64(int fd, const void *data, size_t size, off_t at) { return do_write(fd, data, size, at, 1); }

static int do_sync(int fd, long call) {
  struct stat about;
  int answer = syscall(call, fd);
  int kept = errno;
  if (known(fd) && !answer)
    note(!fstat(fd, &about) && S_ISDIR(about.st_mode) ? 'D' : 'S', known(fd), 0, 0, 0, 0);
  errno = kept;
  return answer;
}

int fsync(int fd) { return do_sync(fd, SYS_fsync); }
int fdatasync(int fd) { return do_sync(fd, SYS_fdatasync); }

static int do_cut(int fd, off_t size) {
  int answer = syscall(SYS_ftruncate, fd, size);
  int kept = errno;
  if (known(fd) && !answer) note('T', known(fd), 0, size, 0, 0);
  errno = kept;
  return answer;
}

int ftruncate(int fd, off_t size) { return do_cut(fd, size); }
int ftruncate64(int fd, off_t size) { return do_cut(fd, size); }

int unlink(const char *path) {
  int answer = syscall(SYS_unlinkat, AT_FDCWD, path, 0);
  int kept = errno;
  if (!answer && watched(path)) note('U', path, 0, 0, 0, 0);
  errno = kept;
  return answer;
}

int rename(const char *from, const char *to) {
  int answer = syscall(SYS_renameat2, AT_FDCWD, from, AT_FDCWD, to, 0);
  int kept = errno;
  if (!answer && watched(from)) note('R', from, to, 0, 0, 0);
  errno = kept;
  return answer;
}

int mkdir(const char *path, mode_t mode) {
  int answer = syscall(SYS_mkdirat, AT_FDCWD, path, mode);
  int kept = errno;
  if (!answer && watched(path)) note('M', path, 0, 0, 0, 0);
  errno = kept;
  return answer;
}
