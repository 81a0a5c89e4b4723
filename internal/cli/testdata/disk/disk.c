/*
 * A disk that misbehaves, for one folder: loaded with LD_PRELOAD, it stands
 * before the calls by which SQLite writes. DISK_DIR is the folder, DISK_MOOD a
 * file that says how the disk feels; it is read at each call, so that a test can
 * change it while the program runs:
 *
 *   full N    the files may grow by N bytes more, then there is no space left
 *   slow N    each sync takes N milliseconds
 *   write N   of the next writes each Nth fails with EIO
 *   sync N    of the next syncs each Nth fails with EIO
 *
 * Anything else: it works. Calls are passed on to the kernel itself. Needs a
 * 64-bit Linux.
 */
#define _GNU_SOURCE
#include <errno.h>
#include <fcntl.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <time.h>
#include <unistd.h>

static pthread_mutex_t lock = PTHREAD_MUTEX_INITIALIZER;
static char mood[64];    /* as it was read last */
static long grown, calls; /* bytes and calls since the mood changed */

/* ours: does fd lie in the folder? */
static int ours(int fd)
{
	char link[64], path[4096];
	const char *dir = getenv("DISK_DIR");
	snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
	ssize_t n = readlink(link, path, sizeof path - 1);
	if (n < 0 || dir == NULL)
		return 0;
	path[n] = 0;
	return strncmp(path, dir, strlen(dir)) == 0 && path[strlen(dir)] == '/';
}

/* feels: is the mood what? Then its number stands in *n. Call with the lock. */
static int feels(const char *what, long *n)
{
	char now[sizeof mood] = "", word[16] = "";
	const char *path = getenv("DISK_MOOD");
	int fd = path == NULL ? -1 : (int)syscall(SYS_openat, AT_FDCWD, path, O_RDONLY | O_CLOEXEC, 0);
	if (fd >= 0) {
		if (syscall(SYS_read, fd, now, sizeof now - 1) < 0)
			now[0] = 0;
		syscall(SYS_close, fd);
	}
	if (strcmp(now, mood) != 0) {
		memcpy(mood, now, sizeof mood);
		grown = calls = 0;
	}
	return sscanf(mood, "%15s %ld", word, n) == 2 && strcmp(word, what) == 0;
}

/* nth: does this call fail, as each nth does? */
static int nth(const char *what)
{
	long n = 0;
	return feels(what, &n) && n > 0 && ++calls % n == 0;
}

/* room gives how much of what would make a file as long as end can be written. */
static size_t room(int fd, off_t end, size_t size)
{
	long most = 0;
	struct stat st;
	if (!feels("full", &most) || fstat(fd, &st) < 0 || end <= st.st_size)
		return size;
	long more = (long)(end - st.st_size), left = most - grown;
	if (left < more) {
		size_t lacks = (size_t)(more - (left > 0 ? left : 0));
		grown = most;
		return lacks < size ? size - lacks : 0;
	}
	grown += more;
	return size;
}

ssize_t pwrite64(int fd, const void *buf, size_t size, off64_t at)
{
	if (ours(fd)) {
		pthread_mutex_lock(&lock);
		int fails = nth("write") ? EIO : 0;
		size_t some = room(fd, at + (off_t)size, size);
		if (some == 0 && size > 0)
			fails = ENOSPC;
		pthread_mutex_unlock(&lock);
		if (fails) {
			errno = fails;
			return -1;
		}
		size = some;
	}
	return syscall(SYS_pwrite64, fd, buf, size, at);
}

ssize_t pwrite(int fd, const void *buf, size_t size, off_t at) { return pwrite64(fd, buf, size, at); }

static int sync_by(long call, int fd)
{
	if (ours(fd)) {
		long ms = 0;
		pthread_mutex_lock(&lock);
		int fails = nth("sync");
		if (!feels("slow", &ms))
			ms = 0;
		pthread_mutex_unlock(&lock);
		struct timespec t = { ms / 1000, ms % 1000 * 1000000 };
		nanosleep(&t, NULL);
		if (fails) {
			errno = EIO;
			return -1;
		}
	}
	return (int)syscall(call, fd);
}

int fsync(int fd) { return sync_by(SYS_fsync, fd); }

int fdatasync(int fd) { return sync_by(SYS_fdatasync, fd); }
