/* Writes down every change of the files below POWER_CUT_FOLDER, in order, into POWER_CUT_LOG.
 *
 * Preloaded into a process (LD_PRELOAD), it passes each call on and then notes it: opening, writing, truncating,
 * flushing, removing and renaming. From the notes a test builds what a disk may hold after a power cut at any point:
 * what was flushed, and of the rest nothing or any part. Shared memory (-shm) is left out: it never reaches the disk
 * by itself, and SQLite builds it anew.
 *
 * A note is: kind (1 byte), length of the path (4), offset (8), length of the data (8), path, data.
 */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <fcntl.h>
#include <limits.h>
#include <pthread.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/types.h>
#include <unistd.h>

#define MOST_FILES 4096

static char *names[MOST_FILES];
static const char *folder;
static int log_fd = -1;
static pthread_mutex_t lock = PTHREAD_MUTEX_INITIALIZER;

__attribute__((constructor)) static void begin(void) {
    folder = getenv("POWER_CUT_FOLDER");
    const char *log = getenv("POWER_CUT_LOG");
    if (folder && log)
        log_fd = syscall(SYS_openat, AT_FDCWD, log, O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0600);
}

static int watched(const char *path) {
    size_t length = path ? strlen(path) : 0;
    return log_fd >= 0 && path && strncmp(path, folder, strlen(folder)) == 0 &&
           !(length > 4 && strcmp(path + length - 4, "-shm") == 0);
}

static void put(const void *data, size_t length) {
    const char *at = data;
    while (length > 0) {
        ssize_t done = syscall(SYS_write, log_fd, at, length);
        if (done <= 0)
            _exit(99);
        at += done;
        length -= done;
    }
}

static void note(char kind, const char *path, uint64_t offset, const void *data, uint64_t length) {
    uint32_t path_length = strlen(path);
    pthread_mutex_lock(&lock);
    put(&kind, 1);
    put(&path_length, 4);
    put(&offset, 8);
    put(&length, 8);
    put(path, path_length);
    put(data, length);
    pthread_mutex_unlock(&lock);
}

static const char *name_of(int fd) { return fd >= 0 && fd < MOST_FILES ? names[fd] : NULL; }

static void remember(int fd, const char *path, int created) {
    if (fd < 0 || fd >= MOST_FILES)
        return;
    free(names[fd]);
    names[fd] = watched(path) ? strdup(path) : NULL;
    if (names[fd] && created)
        note('c', path, 0, "", 0);
}

static int open_as(const char *symbol, const char *path, int flags, mode_t mode) {
    int (*next)(const char *, int, ...) = dlsym(RTLD_NEXT, symbol);
    int missing = (flags & O_CREAT) && syscall(SYS_faccessat, AT_FDCWD, path, F_OK) != 0;
    int fd = next(path, flags, mode);
    remember(fd, path, missing);
    return fd;
}

#define OPEN(symbol)                                                                                                   \
    int symbol(const char *path, int flags, ...) {                                                                     \
        va_list more;                                                                                                  \
        va_start(more, flags);                                                                                         \
        mode_t mode = (flags & O_CREAT) ? va_arg(more, mode_t) : 0;                                                    \
        va_end(more);                                                                                                  \
        return open_as(#symbol, path, flags, mode);                                                                    \
    }
OPEN(open)
OPEN(open64)

int close(int fd) {
    int (*next)(int) = dlsym(RTLD_NEXT, "close");
    if (name_of(fd)) {
        free(names[fd]);
        names[fd] = NULL;
    }
    return next(fd);
}

ssize_t write(int fd, const void *data, size_t length) {
    ssize_t (*next)(int, const void *, size_t) = dlsym(RTLD_NEXT, "write");
    off_t at = name_of(fd) ? lseek(fd, 0, SEEK_CUR) : 0;
    ssize_t done = next(fd, data, length);
    if (done > 0 && name_of(fd))
        note('w', names[fd], at, data, done);
    return done;
}

#define PWRITE(symbol, offset_type)                                                                                    \
    ssize_t symbol(int fd, const void *data, size_t length, offset_type offset) {                                      \
        ssize_t (*next)(int, const void *, size_t, offset_type) = dlsym(RTLD_NEXT, #symbol);                           \
        ssize_t done = next(fd, data, length, offset);                                                                 \
        if (done > 0 && name_of(fd))                                                                                   \
            note('w', names[fd], offset, data, done);                                                                  \
        return done;                                                                                                   \
    }
PWRITE(pwrite, off_t)
PWRITE(pwrite64, off64_t)

#define TRUNCATE(symbol, offset_type)                                                                                  \
    int symbol(int fd, offset_type length) {                                                                           \
        int (*next)(int, offset_type) = dlsym(RTLD_NEXT, #symbol);                                                     \
        int done = next(fd, length);                                                                                   \
        if (done == 0 && name_of(fd))                                                                                  \
            note('t', names[fd], length, "", 0);                                                                       \
        return done;                                                                                                   \
    }
TRUNCATE(ftruncate, off_t)
TRUNCATE(ftruncate64, off64_t)

#define FLUSH(symbol)                                                                                                  \
    int symbol(int fd) {                                                                                               \
        int (*next)(int) = dlsym(RTLD_NEXT, #symbol);                                                                  \
        int done = next(fd);                                                                                           \
        if (done == 0 && name_of(fd))                                                                                  \
            note('s', names[fd], 0, "", 0);                                                                            \
        return done;                                                                                                   \
    }
FLUSH(fsync)
FLUSH(fdatasync)

int unlink(const char *path) {
    int (*next)(const char *) = dlsym(RTLD_NEXT, "unlink");
    int done = next(path);
    if (done == 0 && watched(path))
        note('u', path, 0, "", 0);
    return done;
}

int rename(const char *from, const char *to) {
    int (*next)(const char *, const char *) = dlsym(RTLD_NEXT, "rename");
    int done = next(from, to);
    if (done == 0 && watched(from))
        note('r', from, 0, to, strlen(to));
    return done;
}
