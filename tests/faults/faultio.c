/* Makes the surroundings of one program fail on purpose, at the N-th call that changes a file.
 *
 *   gcc -O1 -shared -fPIC -o faultio.so faultio.c -ldl
 *
 * Loaded before the C library (LD_PRELOAD), idle until fault_arm() is called, which the program
 * under test does through ctypes after it was started. Watched are files and folders whose path
 * holds a given piece of text. Counted calls: write, pwrite, truncate, fsync, fdatasync, unlink,
 * rename, link, and open where it makes a file.
 *
 * Modes: enospc, eio   that call fails (and with `sticky` every later one)
 *        kill          the process dies at that call; what was written stays
 *        power         it dies, and what was not yet synced is undone: bytes of files until fsync
 *                      of the file, names (made, removed, renamed) until fsync of the folder
 *                      (POSIX promises no more; fsync(2), "Calling fsync() does not necessarily
 *                      ensure that the entry in the directory ... has also reached disk")
 * lose = 0 undoes all of it, another number each piece or not by a series of that seed.
 *
 * Limits: writes through mmap are not seen (mmap_size is 0 here); truncation is durable at once;
 * one thread at a time is assumed to write.
 */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/types.h>
#include <unistd.h>

enum { OFF, ENOSPC_AT, EIO_AT, KILL_AT, POWER_AT };
enum { BYTES, MADE, REMOVED, RENAMED };

typedef struct {
  int what, fd;
  off_t at, was_size;
  size_t len, old_len;
  char *old;
  char *path, *other, *kept; /* of names: where it is, where it was, what lay there before */
} Undo;

static Undo *undo;
static size_t count, room;
static long calls, fail_at;
static int mode, sticky, fired;
static unsigned seed;
static char pattern[256];

#define REAL(type, name, ...)                           \
  static type (*name)(__VA_ARGS__);                     \
  if (!name) name = (type(*)(__VA_ARGS__))dlsym(RTLD_NEXT, #name + 5)

static int real_unlink_(const char *p) { REAL(int, real_unlink, const char *); return real_unlink(p); }
static int real_rename_(const char *a, const char *b) { REAL(int, real_rename, const char *, const char *); return real_rename(a, b); }
static int real_link_(const char *a, const char *b) { REAL(int, real_link, const char *, const char *); return real_link(a, b); }
static ssize_t real_pwrite_(int fd, const void *p, size_t n, off_t o) { REAL(ssize_t, real_pwrite64, int, const void *, size_t, off_t); return real_pwrite64(fd, p, n, o); }
static int real_truncate_(int fd, off_t n) { REAL(int, real_ftruncate64, int, off_t); return real_ftruncate64(fd, n); }

void fault_arm(const char *watch, long at, int how, int keep_on, unsigned lose) {
  snprintf(pattern, sizeof pattern, "%s", watch);
  fail_at = at; mode = how; sticky = keep_on; seed = lose; calls = 0; fired = 0; count = 0;
  srand(lose);
}
/* Before a normal end: names that were to be removed are, though no folder was synced after. */
void fault_settle(void) {
  mode = OFF;
  for (size_t i = 0; i < count; i++) if (undo[i].kept) real_unlink_(undo[i].kept);
  count = 0;
}
long fault_calls(void) { return calls; }
int fault_fired(void) { return fired; }

static int watched_path(const char *p) { return mode && p && pattern[0] && strstr(p, pattern) != NULL; }
static int path_of(int fd, char *into, size_t size) {
  char link[64];
  snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
  ssize_t n = readlink(link, into, size - 1);
  if (n <= 0) return 0;
  into[n] = 0;
  return 1;
}
static int watched(int fd) {
  char path[4096];
  return mode && fd > 2 && path_of(fd, path, sizeof path) && watched_path(path);
}

static void undo_bytes(Undo *u) {
  struct stat now;
  if (fstat(u->fd, &now)) return;
  if (u->old_len) real_pwrite_(u->fd, u->old, u->old_len, u->at);
  off_t end = u->at + (off_t)u->len;
  if (end <= u->was_size) return;
  /* Bytes that this write added: cut where they are the tail, else zeros. */
  if (now.st_size <= end) { real_truncate_(u->fd, u->was_size); return; }
  char zeros[512] = {0};
  for (off_t at = u->at + (off_t)u->old_len; at < end;) {
    size_t piece = end - at > 512 ? 512 : (size_t)(end - at);
    real_pwrite_(u->fd, zeros, piece, at);
    at += (off_t)piece;
  }
}
static void undo_name(Undo *u) {
  if (u->what == MADE) real_unlink_(u->path);
  if (u->what == REMOVED && access(u->path, F_OK)) real_rename_(u->kept, u->path);
  if (u->what == RENAMED) {
    real_rename_(u->path, u->other);
    if (u->kept) real_rename_(u->kept, u->path);
  }
}
static void die(int power) {
  mode = OFF;
  for (size_t i = count; power && i-- > 0;) {
    if (seed && rand() % 2) continue;
    if (undo[i].what == BYTES) undo_bytes(&undo[i]); else undo_name(&undo[i]);
  }
  _exit(137);
}
/* What must fail gets its errno, everything else 0. */
static int tick(void) {
  calls++;
  if (!fail_at || !(calls == fail_at || (sticky && fired))) return 0;
  fired = 1;
  if (mode == KILL_AT) die(0);
  if (mode == POWER_AT) die(1);
  return mode == ENOSPC_AT ? ENOSPC : EIO;
}
#define FAIL_IF_DUE do { int e = tick(); if (e) { errno = e; return -1; } } while (0)

static Undo *remember(int what) {
  if (count == room) { room = room ? room * 2 : 256; undo = realloc(undo, room * sizeof *undo); }
  memset(&undo[count], 0, sizeof *undo);
  undo[count].what = what;
  undo[count].fd = -1;
  return &undo[count++];
}
static void remember_bytes(int fd, off_t at, size_t len) {
  struct stat now;
  if (mode != POWER_AT || fstat(fd, &now)) return;
  Undo *u = remember(BYTES);
  u->fd = fd; u->at = at; u->len = len; u->was_size = now.st_size;
  if (at >= now.st_size) return;
  size_t k = (size_t)(now.st_size - at) < len ? (size_t)(now.st_size - at) : len;
  u->old = malloc(k);
  ssize_t got = pread(fd, u->old, k, at);
  if (got < 0) { /* opened for writing only */
    char link[64];
    snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
    int again = open(link, O_RDONLY);
    if (again >= 0) { got = pread(again, u->old, k, at); close(again); }
  }
  u->old_len = got > 0 ? (size_t)got : 0;
}
static char *aside(const char *path) {
  static int number;
  const char *slash = strrchr(path, '/');
  char *name = malloc(strlen(path) + 32);
  sprintf(name, "%.*s/.unsynced-%d", slash ? (int)(slash - path) : 1, slash ? path : ".", ++number);
  return name;
}
/* A path may be relative; the folder it lies in is known by its own full path. */
static int lies_in(const char *path, const char *folder) {
  char piece[4096], full[4096];
  const char *slash = strrchr(path, '/');
  snprintf(piece, sizeof piece, "%.*s", slash ? (int)(slash - path) : 1, slash ? path : ".");
  return realpath(piece, full) && !strcmp(full, folder);
}
static void now_durable(int fd) {
  struct stat mine, other;
  char folder[4096];
  if (mode != POWER_AT || fstat(fd, &mine)) return;
  int is_folder = S_ISDIR(mine.st_mode) && path_of(fd, folder, sizeof folder);
  size_t kept = 0;
  for (size_t i = 0; i < count; i++) {
    Undo *u = &undo[i];
    int done = u->what == BYTES
        ? u->fd == fd || (!fstat(u->fd, &other) && other.st_ino == mine.st_ino && other.st_dev == mine.st_dev)
        : is_folder && lies_in(u->path, folder);
    if (!done) { undo[kept++] = *u; continue; }
    if (u->kept) real_unlink_(u->kept);
    free(u->old); free(u->path); free(u->other); free(u->kept);
  }
  count = kept;
}

ssize_t pwrite64(int fd, const void *p, size_t n, off_t o) {
  if (watched(fd)) { FAIL_IF_DUE; remember_bytes(fd, o, n); }
  return real_pwrite_(fd, p, n, o);
}
ssize_t pwrite(int fd, const void *p, size_t n, off_t o) { return pwrite64(fd, p, n, o); }
ssize_t write(int fd, const void *p, size_t n) {
  REAL(ssize_t, real_write, int, const void *, size_t);
  if (watched(fd)) { FAIL_IF_DUE; remember_bytes(fd, lseek(fd, 0, SEEK_CUR), n); }
  return real_write(fd, p, n);
}
int ftruncate64(int fd, off_t n) { if (watched(fd)) FAIL_IF_DUE; return real_truncate_(fd, n); }
int ftruncate(int fd, off_t n) { return ftruncate64(fd, n); }
int fsync(int fd) {
  REAL(int, real_fsync, int);
  if (watched(fd)) { FAIL_IF_DUE; now_durable(fd); }
  return real_fsync(fd);
}
int fdatasync(int fd) {
  REAL(int, real_fdatasync, int);
  if (watched(fd)) { FAIL_IF_DUE; now_durable(fd); }
  return real_fdatasync(fd);
}
int close(int fd) {
  REAL(int, real_close, int);
  int kept = -1; /* unsynced bytes outlive the descriptor, so a private one is kept */
  for (size_t i = 0; mode == POWER_AT && i < count; i++)
    if (undo[i].what == BYTES && undo[i].fd == fd) {
      if (kept < 0) kept = fcntl(fd, F_DUPFD_CLOEXEC, 500);
      undo[i].fd = kept;
    }
  return real_close(fd);
}
int unlink(const char *p) {
  if (!watched_path(p) || access(p, F_OK)) return real_unlink_(p);
  FAIL_IF_DUE;
  if (mode != POWER_AT) return real_unlink_(p);
  char *kept = aside(p);
  if (real_rename_(p, kept)) { free(kept); return -1; }
  Undo *u = remember(REMOVED);
  u->path = strdup(p); u->kept = kept;
  return 0;
}
int rename(const char *a, const char *b) {
  if (!watched_path(a) && !watched_path(b)) return real_rename_(a, b);
  FAIL_IF_DUE;
  char *kept = NULL;
  if (mode == POWER_AT && !access(b, F_OK)) {
    kept = aside(b);
    if (real_link_(b, kept)) { free(kept); kept = NULL; }
  }
  int failed = real_rename_(a, b);
  if (mode != POWER_AT) return failed;
  if (failed) { if (kept) { real_unlink_(kept); free(kept); } return failed; }
  Undo *u = remember(RENAMED);
  u->path = strdup(b); u->other = strdup(a); u->kept = kept;
  return 0;
}
static void made(const char *p) {
  if (mode == POWER_AT) remember(MADE)->path = strdup(p);
}
int link(const char *a, const char *b) {
  if (!watched_path(b)) return real_link_(a, b);
  FAIL_IF_DUE;
  int failed = real_link_(a, b);
  if (!failed) made(b);
  return failed;
}
#define OPEN(name, before, call)                                                   \
  int name before {                                                                \
    mode_t bits = 0;                                                               \
    if (flags & O_CREAT) { va_list more; va_start(more, flags); bits = va_arg(more, mode_t); va_end(more); } \
    int makes = (flags & O_CREAT) && watched_path(p) && access(p, F_OK);           \
    if (makes) FAIL_IF_DUE;                                                        \
    int fd = call;                                                                 \
    if (makes && fd >= 0) made(p);                                                 \
    return fd;                                                                     \
  }
#define REAL_OPEN(name) static int (*real)(const char *, int, ...); if (!real) real = (int (*)(const char *, int, ...))dlsym(RTLD_NEXT, name)
#define REAL_OPENAT(name) static int (*real)(int, const char *, int, ...); if (!real) real = (int (*)(int, const char *, int, ...))dlsym(RTLD_NEXT, name)
OPEN(open, (const char *p, int flags, ...), ({ REAL_OPEN("open"); real(p, flags, bits); }))
OPEN(open64, (const char *p, int flags, ...), ({ REAL_OPEN("open64"); real(p, flags, bits); }))
OPEN(openat, (int at, const char *p, int flags, ...), ({ REAL_OPENAT("openat"); real(at, p, flags, bits); }))
OPEN(openat64, (int at, const char *p, int flags, ...), ({ REAL_OPENAT("openat64"); real(at, p, flags, bits); }))
