//go:build linux && !race

package storage

import (
	"errors"
	"fmt"
	"os"
	"runtime"
	"slices"
	"testing"
	"unsafe"

	"golang.org/x/sys/unix"
)

// A faulty disk stands between one goroutine and the kernel: the system calls by which that goroutine
// reaches files are handed to the test (seccomp's user notification), which lets each pass, or answers it
// in the kernel's place. The filter is the one thread's alone and ends with it.

// call is a system call as the disk meets it.
type call struct {
	number int
	args   [6]uint64
}

// The calls that are handed over, by what they do. Reads and writes of less than 16 bytes pass: the Go
// runtime wakes itself by such ones.
var (
	writes   = []int{unix.SYS_PWRITE64, unix.SYS_WRITE, unix.SYS_COPY_FILE_RANGE, unix.SYS_SENDFILE, unix.SYS_FTRUNCATE}
	syncs    = []int{unix.SYS_FDATASYNC, unix.SYS_FSYNC}
	reads    = []int{unix.SYS_PREAD64, unix.SYS_READ}
	names    = []int{unix.SYS_OPENAT, unix.SYS_LINKAT, unix.SYS_RENAMEAT, unix.SYS_UNLINKAT, unix.SYS_MKDIRAT}
	mappings = []int{unix.SYS_MMAP}
)

func (c call) is(sorts ...[]int) bool {
	return slices.ContainsFunc(sorts, func(sort []int) bool { return slices.Contains(sort, c.number) })
}

// path is that of the open file that the call is about; "" where it is about none.
func (c call) path() string {
	fd := c.args[0]
	switch {
	case c.is(names):
		return ""
	case c.is(mappings):
		fd = c.args[4]
	}
	path, _ := os.Readlink(fmt.Sprintf("/proc/self/fd/%d", fd)) // "" where there is none
	return path
}

// makes says whether the call would put a new name, or more bytes, on the disk.
func (c call) makes() bool {
	return c.is(writes) || c.is(names) && (c.number != unix.SYS_OPENAT || c.args[2]&unix.O_CREAT != 0) && c.number != unix.SYS_UNLINKAT
}

// answer is what a call gets; pass lets the kernel do it.
type answer struct {
	pass  bool
	value int64
	errno unix.Errno
}

// sockFilter is the program by which the kernel sorts the thread's calls.
func sockFilter() []unix.SockFilter {
	const (
		load  = unix.BPF_LD | unix.BPF_W | unix.BPF_ABS
		equal = unix.BPF_JMP | unix.BPF_JEQ | unix.BPF_K
		least = unix.BPF_JMP | unix.BPF_JGE | unix.BPF_K
		bits  = unix.BPF_JMP | unix.BPF_JSET | unix.BPF_K
		end   = unix.BPF_RET | unix.BPF_K
		arg2  = 16 + 2*8 // offset of the third argument's lower half; both machines that run this are little endian
		arg3  = 16 + 3*8
	)
	hand := unix.SockFilter{Code: end, K: unix.SECCOMP_RET_USER_NOTIF}
	pass := unix.SockFilter{Code: end, K: unix.SECCOMP_RET_ALLOW}
	program := []unix.SockFilter{{Code: load, K: 0}}
	// each adds a test of the call's number with what is done where it is that.
	each := func(number int, do ...unix.SockFilter) {
		program = append(program, unix.SockFilter{Code: equal, K: uint32(number), Jf: uint8(len(do))})
		program = append(program, do...)
	}
	for _, number := range slices.Concat(writes, syncs, reads, names, mappings) {
		switch number {
		case unix.SYS_WRITE, unix.SYS_READ:
			each(number, unix.SockFilter{Code: load, K: arg2}, unix.SockFilter{Code: least, K: 16, Jf: 1}, hand, pass)
		case unix.SYS_MMAP: // of files only: the runtime's own are private
			each(number, unix.SockFilter{Code: load, K: arg3}, unix.SockFilter{Code: bits, K: unix.MAP_SHARED, Jf: 1}, hand, pass)
		default:
			each(number, hand)
		}
	}
	return append(program, pass)
}

// onDisk runs work on a thread of its own whose calls are answered by disk. The race detector can't watch
// such a thread: its own calls for memory come while it holds locks that whoever answers them needs as
// well.
func onDisk(t *testing.T, disk func(call) answer, work func()) {
	t.Helper()
	listeners, ended := make(chan int), make(chan struct{})
	var refused error
	var begin func()
	begin = func() {
		runtime.LockOSThread()
		if unix.Gettid() == unix.Getpid() {
			// The main thread outlives all goroutines: while this one holds it, the next has another.
			go begin()
			<-ended
			runtime.UnlockOSThread()
			return
		}
		defer close(ended) // without unlocking, so that the thread ends with the goroutine
		listener, err := listen()
		if err != nil {
			refused = err
			close(listeners)
			return
		}
		listeners <- listener
		work()
	}
	go begin()
	listener, ok := <-listeners
	if !ok {
		t.Fatalf("the kernel hands over no system calls here: %v", refused)
	}
	err := serve(listener, disk)
	<-ended
	if err = errors.Join(err, unix.Close(listener)); err != nil {
		t.Fatal(err)
	}
}

// listen puts this thread under the filter, and returns where its calls come in.
func listen() (listener int, err error) {
	if err := unix.Prctl(unix.PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0); err != nil {
		return 0, fmt.Errorf("giving up privileges: %w", err)
	}
	program := sockFilter()
	prog := unix.SockFprog{Len: uint16(len(program)), Filter: &program[0]}
	fd, _, errno := unix.Syscall(unix.SYS_SECCOMP, unix.SECCOMP_SET_MODE_FILTER,
		unix.SECCOMP_FILTER_FLAG_NEW_LISTENER|unix.SECCOMP_FILTER_FLAG_WAIT_KILLABLE_RECV, uintptr(unsafe.Pointer(&prog)))
	if errno != 0 {
		return 0, os.NewSyscallError("seccomp", errno)
	}
	return int(fd), nil
}

// serve answers calls until the thread that makes them is gone.
func serve(listener int, disk func(call) answer) error {
	// What the kernel hands over and takes back: struct seccomp_notif and seccomp_notif_resp of
	// linux/seccomp.h.
	type notice struct {
		id         uint64
		pid, flags uint32
		number     int32
		arch       uint32
		ip         uint64
		args       [6]uint64
	}
	type response struct {
		id    uint64
		value int64
		errno int32
		flags uint32
	}
	for {
		poll := []unix.PollFd{{Fd: int32(listener), Events: unix.POLLIN}}
		if _, err := unix.Poll(poll, -1); err != nil && !errors.Is(err, unix.EINTR) {
			return os.NewSyscallError("poll", err)
		}
		if poll[0].Revents&unix.POLLIN == 0 {
			if poll[0].Revents&unix.POLLHUP != 0 {
				return nil
			}
			continue
		}
		var n notice
		if _, _, errno := unix.Syscall(unix.SYS_IOCTL, uintptr(listener), unix.SECCOMP_IOCTL_NOTIF_RECV, uintptr(unsafe.Pointer(&n))); errno != 0 {
			continue // the call was broken off; it comes again
		}
		a := disk(call{int(n.number), n.args})
		r := response{id: n.id, value: a.value, errno: -int32(a.errno)}
		if a.pass {
			r = response{id: n.id, flags: unix.SECCOMP_USER_NOTIF_FLAG_CONTINUE}
		}
		if _, _, errno := unix.Syscall(unix.SYS_IOCTL, uintptr(listener), unix.SECCOMP_IOCTL_NOTIF_SEND, uintptr(unsafe.Pointer(&r))); errno != 0 && errno != unix.ENOENT {
			return os.NewSyscallError("answering a call", errno)
		}
	}
}

// half does the first part of a write itself, of half its bytes; ok is false where the call is no write
// that can be halved.
func (c call) half() (n int64, ok bool) {
	switch c.number {
	case unix.SYS_PWRITE64, unix.SYS_WRITE:
	default:
		return 0, false
	}
	count := c.args[2] / 2
	done, _, errno := unix.Syscall6(uintptr(c.number), uintptr(c.args[0]), uintptr(c.args[1]), uintptr(count), uintptr(c.args[3]), 0, 0)
	return int64(done), errno == 0
}
