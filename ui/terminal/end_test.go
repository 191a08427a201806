package terminal

import (
	"os"
	"time"
)

// Resize changes the size of the window, of which the program is told by
// SIGWINCH.
func (term *Terminal) Resize(size Size) {
	term.screen.resize(size)
	term.pty.resize(size)
}

// Signal sends the program a signal, such as SIGTERM. A program that has ended
// meanwhile gets none.
func (term *Terminal) Signal(sig os.Signal) {
	_ = term.cmd.Process.Signal(sig)
}

// Kill ends the program at once by SIGKILL, which it can neither notice nor
// refuse, and waits until it is gone: the power cut of the tests.
func (term *Terminal) Kill() {
	term.t.Helper()
	_ = term.cmd.Process.Kill()
	term.Wait()
}

// Hangup closes the window under the program: the kernel sends it SIGHUP, its
// reads end, its writes fail. The screen stays as it was. Wait afterwards to
// see how the program took it.
func (term *Terminal) Hangup() {
	_ = term.pty.master.Close()
}

// Wait waits until the program has ended and all it wrote is on the screen, and
// returns its exit code, which is -1 when a signal ended it.
func (term *Terminal) Wait() int {
	term.t.Helper()
	deadline := time.NewTimer(term.set.patience)
	defer deadline.Stop()
	select {
	case <-term.ended:
	case <-deadline.C:
		term.fail("waited %v for the program to end", term.set.patience)
	}
	for {
		_, over, changed := term.screen.look()
		if over {
			return term.cmd.ProcessState.ExitCode()
		}
		select {
		case <-changed:
		case <-deadline.C:
			term.fail("the program has ended, but something still writes to its terminal")
		}
	}
}

// over is whether the process has ended.
func (term *Terminal) over() bool {
	select {
	case <-term.ended:
		return true
	default:
		return false
	}
}
