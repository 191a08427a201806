// Package terminal drives the real program as a person at a terminal does: it starts a command on a pseudo-terminal of
// 80 by 24, lets an emulator draw what comes out, presses keys and waits for what should appear.
//
// Wait for the first frame by See before the first key: until the program has set its terminal to single keys, what is
// typed can reach it in one lump. A frame can arrive in two pieces, so wait for what appears, not for what vanishes.
// Where there are no pseudo-terminals, as on Windows, Start skips the test.
package terminal

import (
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"slices"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/charmbracelet/x/vt"
)

// patience is how long a wait goes on before the test fails: far more than any program here needs.
const patience = time.Minute

// Terminal is a window with a running program in it. It serves the test's own goroutine.
type Terminal struct {
	t     testing.TB
	cmd   *exec.Cmd
	pty   *pair
	ended chan struct{} // closed once the process has ended and is reaped
	work  sync.WaitGroup

	mu      sync.Mutex // guards what follows
	emu     *vt.Emulator
	raw     []byte
	changed chan struct{} // closed, and replaced, at each change
	over    bool          // nothing more will come
}

// Start runs the command in a window, which is closed and the process killed when the test ends.
func Start(t testing.TB, cmd *exec.Cmd) *Terminal {
	t.Helper()
	return start(t, cmd, func(pty io.Writer) io.Writer { return pty })
}

// StartSilent is [Start] in a terminal that answers no questions, as some real ones don't.
func StartSilent(t testing.TB, cmd *exec.Cmd) *Terminal {
	t.Helper()
	return start(t, cmd, func(io.Writer) io.Writer { return io.Discard })
}

func start(t testing.TB, cmd *exec.Cmd, answered func(pty io.Writer) io.Writer) *Terminal {
	t.Helper()
	heedHangups()
	const columns, rows = 80, 24
	pty, err := openPair(columns, rows)
	if errors.Is(err, errors.ErrUnsupported) {
		t.Skip("no pseudo-terminals here")
	}
	if err == nil {
		err = pty.start(cmd)
	}
	if err != nil {
		t.Fatal(err)
	}
	term := &Terminal{t: t, cmd: cmd, pty: pty, emu: vt.NewEmulator(columns, rows),
		ended: make(chan struct{}), changed: make(chan struct{})}
	term.work.Go(func() {
		_ = cmd.Wait() // its outcome stays in ProcessState
		close(term.ended)
		_ = pty.slave.Close() // now the output can come to its end
	})
	term.work.Go(func() {
		_, _ = io.Copy(term, struct{ io.Reader }{pty.master})
		term.draw(nil, true)
	})
	term.work.Go(func() { _, _ = io.Copy(answered(pty.master), struct{ io.Reader }{term.emu}) })
	t.Cleanup(term.close)
	return term
}

// close leaves no process, handle or goroutine. It closes the emulator's pipe, as the emulator's own Close
// also sets a flag that its Read looks at without a lock.
func (term *Terminal) close() {
	_ = term.cmd.Process.Kill()
	<-term.ended
	_ = term.pty.master.Close()
	_ = term.emu.InputPipe().(io.Closer).Close()
	term.work.Wait()
}

// Write draws output of the program.
func (term *Terminal) Write(p []byte) (int, error) {
	term.draw(p, false)
	return len(p), nil
}

// draw draws output, and wakes whatever waits for a change.
func (term *Terminal) draw(p []byte, over bool) {
	term.mu.Lock()
	defer term.mu.Unlock()
	term.raw = append(term.raw, p...)
	_, _ = term.emu.Write(p)
	term.over = over
	close(term.changed)
	term.changed = make(chan struct{})
}

// look gives the screen, whether it is the last, and a channel that is closed as soon as anything changes.
func (term *Terminal) look() (screen string, over bool, changed <-chan struct{}) {
	term.mu.Lock()
	defer term.mu.Unlock()
	lines := strings.Split(term.emu.String(), "\n")
	for i, line := range lines {
		lines[i] = strings.TrimRight(line, " \r")
	}
	return strings.TrimRight(strings.Join(lines, "\n"), "\n"), term.over, term.changed
}

// Screen is the text on the screen now, without trailing blanks and empty rows at the end.
func (term *Terminal) Screen() string {
	screen, _, _ := term.look()
	return screen
}

// Raw is every byte that the program has written to its terminal so far.
func (term *Terminal) Raw() string {
	term.mu.Lock()
	defer term.mu.Unlock()
	return string(term.raw)
}

// See waits until the screen shows every one of the texts at the same time, each within one row.
func (term *Terminal) See(texts ...string) {
	term.t.Helper()
	term.Until(fmt.Sprintf("to see %q", texts), func(screen string) bool {
		return !slices.ContainsFunc(texts, func(text string) bool { return !strings.Contains(screen, text) })
	})
}

// Until waits until the predicate holds for the screen. It fails the test at the deadline, or at once when
// nothing more can come.
func (term *Terminal) Until(what string, pred func(screen string) bool) {
	term.t.Helper()
	if !term.wait(what, pred) {
		term.fail("waited %s, but nothing more comes", what)
	}
}

// wait waits until the predicate holds; false where nothing more can come.
func (term *Terminal) wait(what string, pred func(screen string) bool) bool {
	term.t.Helper()
	deadline := time.After(patience)
	for {
		screen, over, changed := term.look()
		if held := pred(screen); held || over {
			return held
		}
		select {
		case <-changed:
		case <-deadline:
			term.fail("waited %v %s", patience, what)
		}
	}
}

// fail ends the test with a sentence, how the program is, and the screen.
func (term *Terminal) fail(format string, args ...any) {
	term.t.Helper()
	term.t.Fatalf(format+". The program: %v. The screen:\n%s", append(args, term.cmd.ProcessState, term.Screen())...)
}

// Wait waits until the program has ended and all it wrote is on the screen, and returns its exit code,
// which is -1 when a signal ended it.
func (term *Terminal) Wait() int {
	term.t.Helper()
	term.wait("for the program to end", func(string) bool { return false })
	<-term.ended
	return term.cmd.ProcessState.ExitCode()
}

// Signal sends the program a signal. A program that has ended meanwhile gets none.
func (term *Terminal) Signal(sig os.Signal) { _ = term.cmd.Process.Signal(sig) }

// Kill ends the program by SIGKILL, and waits until it is gone: the power cut of the tests.
func (term *Terminal) Kill() {
	term.t.Helper()
	term.Signal(os.Kill)
	term.Wait()
}

// Hangup closes the window under the program: the kernel sends it SIGHUP, its reads end, its writes fail.
func (term *Terminal) Hangup() { _ = term.pty.master.Close() }

// told are the variables that tell a program about the terminal or machine that the tests happen to run on.
var told = []string{"CI", "CLICOLOR", "CLICOLOR_FORCE", "COLORFGBG", "COLORTERM", "COLUMNS", "LINES",
	"NO_COLOR", "STY", "TERM", "TERM_PROGRAM", "TERM_PROGRAM_VERSION", "TMUX"}

// Environ is the environment of this process without what it says about its terminal, with
// TERM=xterm-256color, followed by extra variables written NAME=value, which win.
func Environ(extra ...string) []string {
	env := slices.DeleteFunc(os.Environ(), func(v string) bool {
		name, _, _ := strings.Cut(v, "=")
		return slices.Contains(told, name)
	})
	return append(append(env, "TERM=xterm-256color"), extra...)
}

// Key is a key that types no character, as the bytes that a terminal of the xterm family sends for it.
type Key string

// The keys. Characters are typed by [Terminal.Type].
const (
	Enter Key = "\r"
	Esc   Key = "\x1b"
	CtrlC Key = "\x03"
	CtrlS Key = "\x13"
	Up    Key = "\x1b[A"
)

// Type types a text rune by rune, as slowly as the program reads: each rune is sent only when the program
// has taken the one before. So every rune is a key of its own, and none is a burst. That the program has
// read a key doesn't mean that it has drawn what follows from it: wait for that by [Terminal.See].
func (term *Terminal) Type(text string) {
	term.t.Helper()
	for _, r := range text {
		term.Burst(string(r))
	}
}

// Press presses keys one after the other, like [Terminal.Type].
func (term *Terminal) Press(keys ...Key) {
	term.t.Helper()
	for _, k := range keys {
		term.Burst(string(k))
	}
}

// Paste pastes a text, between the marks that tell it from typing (bracketed paste).
func (term *Terminal) Paste(text string) {
	term.t.Helper()
	term.Burst("\x1b[200~" + text + "\x1b[201~")
}

// Burst sends a text in one piece, as when keys come faster than the program reads them or a terminal
// pastes without marks, and waits until the program has read it all or has ended.
func (term *Terminal) Burst(text string) {
	term.t.Helper()
	deadline := time.Now().Add(patience)
	_ = term.pty.master.SetWriteDeadline(deadline)
	if _, err := term.pty.master.WriteString(text); err != nil {
		term.fail("typing %q: %v", text, err)
	}
	// No event tells that an input queue has run empty, so here, and only here, has to be looked again and
	// again; mostly the first look is enough.
	again := time.NewTicker(200 * time.Microsecond)
	defer again.Stop()
	for term.pty.unread() {
		if time.Now().After(deadline) {
			term.fail("the program didn't read %q", text)
		}
		select {
		case <-again.C:
		case <-term.ended:
			return
		}
	}
}

// Build builds the program, once for all tests of a package, and returns the path of the binary.
func Build(t testing.TB) string {
	t.Helper()
	heedHangups()
	path, err := build()
	if err != nil {
		t.Fatal(err)
	}
	return path
}

// heedHangups lets a program that is started from here be hung up. What whoever runs the tests has set
// aside, as nohup does, it would inherit; what is listened for here it does not.
func heedHangups() {
	if signal.Ignored(syscall.SIGHUP) {
		signal.Notify(make(chan os.Signal, 1), syscall.SIGHUP)
	}
}

// build makes the binary the way its users get it, without a stamp from version control, whose tools may be
// missing. Where the tests run under the race detector, so does the program; one that finds a race ends
// with 66.
var build = sync.OnceValues(func() (string, error) {
	// go test removes the folder it built the tests in with all that is there. A test binary that was built
	// to stay (go test -c) leaves the program among the temporary files.
	parent := filepath.Dir(os.Args[0])
	if !strings.Contains(parent, string(filepath.Separator)+"go-build") {
		parent = ""
	}
	dir, err := os.MkdirTemp(parent, "bendbook-")
	if err != nil {
		return "", err
	}
	path := filepath.Join(dir, "bendbook")
	if runtime.GOOS == "windows" {
		path += ".exe"
	}
	args := []string{"build", "-buildvcs=false", "-o", path}
	if info, ok := debug.ReadBuildInfo(); ok && strings.Contains(info.String(), "-race=true") {
		args = append(args, "-race")
	}
	out, err := exec.Command("go", append(args, "bendbook")...).CombinedOutput()
	if err != nil {
		return "", fmt.Errorf("building the program: %w\n%s", err, out)
	}
	return path, nil
})
