/* A disk that fails: preloaded, it lets one call of the system on a file in a folder go wrong,
   or all from one on, as where a network folder goes away.

   SHIM_UNDER is the folder. SHIM_CONTROL is a file that says "WAY N ID": of the calls since it
   last changed, the Nth goes wrong. Ways: count (none fails; each adds a byte to SHIM_LOG), eio,
   estale, enospc (the Nth fails), short (the Nth write takes half), half (it takes half, and the
   next fails with EIO), gone (from the Nth on all fail with ESTALE). An empty file: none. */
#define _GNU_SOURCE
#include <dirent.h>
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/types.h>
#include <unistd.h>

#define SHORT (-1)

static char last[128];
static long seen;
static int half_done;

static int on_path(const char *path) {
    const char *under = getenv("SHIM_UNDER");
    return under && path && strncmp(path, under, strlen(under)) == 0;
}

static int on_handle(int handle) {
    char name[64], path[4096];
    snprintf(name, sizeof name, "/proc/self/fd/%d", handle);
    long size = syscall(SYS_readlink, name, path, sizeof path - 1);
    if (size <= 0) return 0;
    path[size] = 0;
    return on_path(path);
}

/* 0: go on; SHORT: write half; else the error to fail with. */
static int wrong(int writes) {
    char told[128] = "", way[16];
    long nth = 0;
    const char *control = getenv("SHIM_CONTROL");
    if (!control) return 0;
    long handle = syscall(SYS_open, control, O_RDONLY);
    if (handle < 0) return 0;
    long size = syscall(SYS_read, handle, told, sizeof told - 1);
    syscall(SYS_close, handle);
    if (size <= 0) return 0;
    if (strcmp(told, last) != 0) { strcpy(last, told); seen = 0; half_done = 0; }
    if (sscanf(told, "%15s %ld", way, &nth) < 1) return 0;
    seen++;
    if (strcmp(way, "count") == 0) {
        const char *log = getenv("SHIM_LOG");
        long to = log ? syscall(SYS_open, log, O_WRONLY | O_APPEND | O_CREAT, 0600) : -1;
        if (to >= 0) { syscall(SYS_write, to, writes ? "w" : ".", 1); syscall(SYS_close, to); }
        return 0;
    }
    if (strcmp(way, "gone") == 0) return seen >= nth ? ESTALE : 0;
    if (half_done == 1) { half_done = 2; return EIO; }
    if (seen != nth) return 0;
    if (strcmp(way, "eio") == 0) return EIO;
    if (strcmp(way, "estale") == 0) return ESTALE;
    if (strcmp(way, "enospc") == 0) return ENOSPC;
    if (!writes) return 0;
    if (strcmp(way, "half") == 0) half_done = 1;
    return SHORT;
}

#define REAL(name) ({ static __typeof__(name) *real; \
    if (!real) real = (__typeof__(name) *)dlsym(RTLD_NEXT, #name); real; })
#define FAIL_IF(concerned, otherwise) \
    if (concerned) { int why = wrong(0); if (why > 0) { errno = why; return otherwise; } }

#define OPENS(name) \
int name(const char *path, int flags, ...) { \
    mode_t mode = 0; \
    if (flags & (O_CREAT | O_TMPFILE)) { \
        va_list more; va_start(more, flags); mode = va_arg(more, mode_t); va_end(more); } \
    FAIL_IF(on_path(path), -1) \
    return REAL(name)(path, flags, mode); }
OPENS(open)
OPENS(open64)

#define ON_PATH(name, result, none, given, args) \
result name given { FAIL_IF(on_path(path), none) return REAL(name) args; }
ON_PATH(mkdir, int, -1, (const char *path, mode_t mode), (path, mode))
ON_PATH(rmdir, int, -1, (const char *path), (path))
ON_PATH(unlink, int, -1, (const char *path), (path))
ON_PATH(rename, int, -1, (const char *path, const char *to), (path, to))
ON_PATH(opendir, DIR *, NULL, (const char *path), (path))
ON_PATH(stat, int, -1, (const char *path, struct stat *told), (path, told))
ON_PATH(stat64, int, -1, (const char *path, struct stat64 *told), (path, told))
ON_PATH(lstat, int, -1, (const char *path, struct stat *told), (path, told))
ON_PATH(lstat64, int, -1, (const char *path, struct stat64 *told), (path, told))

#define ON_HANDLE(name, result, given, args) \
result name given { FAIL_IF(on_handle(handle), -1) return REAL(name) args; }
ON_HANDLE(fsync, int, (int handle), (handle))
ON_HANDLE(fdatasync, int, (int handle), (handle))
ON_HANDLE(ftruncate, int, (int handle, off_t size), (handle, size))
ON_HANDLE(ftruncate64, int, (int handle, off64_t size), (handle, size))
ON_HANDLE(fstat, int, (int handle, struct stat *told), (handle, told))
ON_HANDLE(fstat64, int, (int handle, struct stat64 *told), (handle, told))
ON_HANDLE(flock, int, (int handle, int how), (handle, how))
ON_HANDLE(read, ssize_t, (int handle, void *to, size_t size), (handle, to, size))

/* A close that fails has closed all the same, as on Linux. */
int close(int handle) {
    int why = on_handle(handle) ? wrong(0) : 0, done = REAL(close)(handle);
    if (why > 0) { errno = why; return -1; }
    return done;
}

ssize_t write(int handle, const void *from, size_t size) {
    int why = on_handle(handle) ? wrong(1) : 0;
    if (why > 0) { errno = why; return -1; }
    if (why == SHORT && size > 1) size /= 2;
    return REAL(write)(handle, from, size);
}
