//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package terminal

import (
	"errors"
	"os"
	"os/exec"
	"syscall"

	"github.com/creack/pty"
	"golang.org/x/sys/unix"
)

// pair is a pseudo-terminal: the master is our end, the slave the program's.
// The slave stays open here as well, until the program has ended: through it
// can be seen what the program has not read yet, and none of its last words
// are lost when it leaves.
type pair struct {
	master, slave *os.File
}

// openPair opens a pseudo-terminal of a size.
func openPair(size Size) (*pair, error) {
	master, slave, err := pty.Open()
	if err != nil {
		return nil, err
	}
	// Opening has put the master into blocking mode, in which a read can't be
	// ended by closing it: take another handle to it that can.
	defer master.Close()
	fd, err := unix.FcntlInt(master.Fd(), unix.F_DUPFD_CLOEXEC, 0)
	if err == nil {
		err = unix.SetNonblock(fd, true)
	}
	if err != nil {
		return nil, errors.Join(err, slave.Close())
	}
	p := &pair{master: os.NewFile(uintptr(fd), master.Name()), slave: slave}
	p.resize(size)
	return p, nil
}

// start runs the command with the pseudo-terminal as its controlling one.
func (p *pair) start(cmd *exec.Cmd) error {
	cmd.Stdin, cmd.Stdout, cmd.Stderr = p.slave, p.slave, p.slave
	if cmd.SysProcAttr == nil {
		cmd.SysProcAttr = &syscall.SysProcAttr{}
	}
	cmd.SysProcAttr.Setsid = true
	cmd.SysProcAttr.Setctty = true
	return cmd.Start()
}

// resize sets the size of the window; the kernel tells the program. A program
// that has ended is not told, which is no error.
func (p *pair) resize(size Size) {
	_ = p.control(func(fd int) error {
		return unix.IoctlSetWinsize(fd, unix.TIOCSWINSZ, &unix.Winsize{
			Row: uint16(size.Rows), Col: uint16(size.Columns),
		})
	})
}

// unread is whether the program has input before it that it hasn't read.
func (p *pair) unread() bool {
	left := 0
	err := p.control(func(fd int) (err error) {
		// What was written to the master reaches the slave's queue a moment
		// later; on Linux asking by poll makes the kernel deliver it first, so
		// that the count below doesn't miss it.
		_, _ = unix.Poll([]unix.PollFd{{Fd: int32(fd), Events: unix.POLLIN}}, 0)
		left, err = unix.IoctlGetInt(fd, countUnread)
		return err
	})
	return err == nil && left > 0
}

// control calls f with the slave's descriptor, or returns an error when it is
// closed, whichever goroutine closed it.
func (p *pair) control(f func(fd int) error) error {
	conn, err := p.slave.SyscallConn()
	if err != nil {
		return err
	}
	var inner error
	if err := conn.Control(func(fd uintptr) { inner = f(int(fd)) }); err != nil {
		return err
	}
	return inner
}
