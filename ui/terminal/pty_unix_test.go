//go:build unix

package terminal

import (
	"errors"
	"os"
	"os/exec"
	"runtime"
	"syscall"

	"github.com/creack/pty"
	"golang.org/x/sys/unix"
)

// pair is a pseudo-terminal: the master is our end, the slave the program's. The slave stays open here as
// well until the program has ended: through it can be seen what the program has not read yet.
type pair struct{ master, slave *os.File }

// openPair opens a pseudo-terminal of a size.
func openPair(columns, rows uint16) (*pair, error) {
	master, slave, err := pty.Open()
	if err != nil {
		return nil, err
	}
	// Opening has put the master into blocking mode, in which a read can't be ended by closing it: take
	// another handle to it that can.
	defer master.Close()
	fd, err := unix.FcntlInt(master.Fd(), unix.F_DUPFD_CLOEXEC, 0)
	if err == nil {
		err = errors.Join(pty.Setsize(slave, &pty.Winsize{Rows: rows, Cols: columns}), unix.SetNonblock(fd, true))
	}
	return &pair{master: os.NewFile(uintptr(fd), master.Name()), slave: slave}, err
}

// start runs the command with the pseudo-terminal as its controlling one.
func (p *pair) start(cmd *exec.Cmd) error {
	cmd.Stdin, cmd.Stdout, cmd.Stderr = p.slave, p.slave, p.slave
	cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: true}
	return cmd.Start()
}

// unread is whether the program has input before it that it hasn't read; false once the slave is closed.
func (p *pair) unread() bool {
	conn, err := p.slave.SyscallConn()
	if err != nil {
		return false
	}
	count := uint(0x4004667f) // FIONREAD, _IOR('f', 127, int) in sys/filio.h of the BSDs
	if runtime.GOOS == "linux" {
		count = 0x541b
	}
	left := 0
	_ = conn.Control(func(fd uintptr) {
		// What was written to the master reaches the slave's queue a moment later; on Linux asking by poll
		// makes the kernel deliver it first, so that the count doesn't miss it.
		_, _ = unix.Poll([]unix.PollFd{{Fd: int32(fd), Events: unix.POLLIN}}, 0)
		left, _ = unix.IoctlGetInt(int(fd), count)
	})
	return left > 0
}
