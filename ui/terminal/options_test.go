package terminal

import (
	"os"
	"strings"
	"time"
)

// Size is the size of a terminal's window in character cells.
type Size struct {
	Columns, Rows int
}

// Option changes how a terminal behaves; see [Start].
type Option func(*settings)

// settings is what the options have been gathered into.
type settings struct {
	silent   bool
	patience time.Duration
}

// Silent makes a terminal that answers no questions. Some real ones don't
// answer either, and a program that waits for them stalls there.
func Silent(s *settings) { s.silent = true }

// Patience sets how long every wait of the terminal goes on before the test
// fails. It is ten seconds unless set: far more than any program here needs,
// so that a busy machine doesn't fail a sound test.
func Patience(d time.Duration) Option {
	return func(s *settings) { s.patience = d }
}

// told are the variables by which an environment tells a program about the
// terminal or the machine that the tests happen to run on. CI is among them
// because its presence alone switches colours off.
var told = []string{
	"CI", "CLICOLOR", "CLICOLOR_FORCE", "COLORFGBG", "COLORTERM", "COLUMNS", "LINES",
	"NO_COLOR", "STY", "TERM", "TERM_PROGRAM", "TERM_PROGRAM_VERSION", "TMUX",
}

// Environ is the environment of this process without what it says about the
// terminal the tests run in, with TERM=xterm-256color, followed by extra
// variables written NAME=value, which win. A command whose Env is nil gets it
// without extras.
func Environ(extra ...string) []string {
	var env []string
	for _, v := range os.Environ() {
		name, _, _ := strings.Cut(v, "=")
		keep := true
		for _, t := range told {
			keep = keep && name != t
		}
		if keep {
			env = append(env, v)
		}
	}
	env = append(env, "TERM=xterm-256color")
	return append(env, extra...)
}
