package terminal

import (
	"errors"
	"io"
	"os/exec"
	"sync"
	"testing"
	"time"
)

// Terminal is a window with a running program in it.
type Terminal struct {
	t      testing.TB
	cmd    *exec.Cmd
	set    settings
	pty    *pair
	screen *screen

	ended chan struct{}  // closed when the process has ended and is reaped
	work  sync.WaitGroup // every goroutine of the terminal
}

// Start runs the command in a window of a size. The command's Env, when nil,
// becomes [Environ]; its input and outputs become the window's. The window is
// closed and the process killed when the test ends. Where there are no
// pseudo-terminals the test is skipped.
func Start(t testing.TB, cmd *exec.Cmd, size Size, options ...Option) *Terminal {
	t.Helper()
	heedHangups()
	set := settings{patience: slower * 10 * time.Second}
	for _, o := range options {
		o(&set)
	}
	if cmd.Env == nil {
		cmd.Env = Environ()
	}
	pty, err := openPair(size)
	if errors.Is(err, errors.ErrUnsupported) {
		t.Skip("no pseudo-terminals here")
	}
	if err != nil {
		t.Fatalf("opening a pseudo-terminal: %v", err)
	}
	if err := pty.start(cmd); err != nil {
		_ = pty.master.Close()
		_ = pty.slave.Close()
		t.Fatalf("starting %s: %v", cmd.Path, err)
	}
	term := &Terminal{
		t: t, cmd: cmd, set: set, pty: pty,
		screen: newScreen(size),
		ended:  make(chan struct{}),
	}
	term.run()
	t.Cleanup(term.close)
	return term
}

// run starts what a window does by itself.
func (term *Terminal) run() {
	answers := make(mailbox, 1024)
	term.work.Go(func() {
		_ = term.cmd.Wait() // its outcome stays in ProcessState
		close(term.ended)
		_ = term.pty.slave.Close() // now the output can come to its end
	})
	term.work.Go(func() {
		_, _ = io.Copy(term.screen, struct{ io.Reader }{term.pty.master})
		term.screen.end()
	})
	term.work.Go(func() {
		defer close(answers)
		if term.set.silent {
			term.screen.answers(io.Discard)
		} else {
			term.screen.answers(answers)
		}
	})
	term.work.Go(func() {
		for answer := range answers {
			_, _ = term.pty.master.Write(answer)
		}
	})
}

// close is the end of the test: it leaves no process, handle or goroutine.
func (term *Terminal) close() {
	_ = term.cmd.Process.Kill()
	<-term.ended
	_ = term.pty.master.Close()
	term.screen.close()
	term.work.Wait()
}

// mailbox holds answers on their way to the program, so that the emulator never
// waits for a program that doesn't read.
type mailbox chan []byte

// Write puts an answer into the box; one that finds it full is lost.
func (m mailbox) Write(p []byte) (int, error) {
	select {
	case m <- append([]byte(nil), p...):
	default:
	}
	return len(p), nil
}
