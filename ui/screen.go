package ui

import (
	"fmt"

	tea "github.com/charmbracelet/bubbletea"
)

// screen is one of the app's pictures.
type screen interface {
	// title is the first line: which bow, what of it, and at the right where one is. Of these the bow's name is cut first.
	title() (name, what, right string)
	// idle is what the notice line says where there is no notice: what is saved.
	idle() string
	// view is exactly height lines, each at most width cells.
	view(width, height int) string
	// about says in a sentence or two what the screen is for; the help begins with it.
	about() string
	// actions are the screen's keys.
	actions() []action
	// typing takes a key before the actions do, where a field is being typed; taken says whether it was one for the field.
	typing(msg tea.KeyMsg) (next move, taken bool)
	// leave keeps what is half typed; the screen may be shown again afterwards.
	leave() error
	// returned is told that the screen on top was closed.
	returned() error
}

// keysOnly is embedded in screens whose keys are all actions: nothing is typed on them, and nothing is to be kept.
type keysOnly struct{}

func (keysOnly) idle() string                   { return "" }
func (keysOnly) typing(tea.KeyMsg) (move, bool) { return move{}, false }
func (keysOnly) leave() error                   { return nil }
func (keysOnly) returned() error                { return nil }

// move is what a screen wants after a key. The zero value stays.
type move struct {
	open screen // on top of this one
	back bool   // to the one below
	swap bool   // open takes this one's place
	// begin is the first key of a form that is opened; nil for none.
	begin *tea.KeyMsg
	// enlarge turns to the screens as they are read from across the shop, and back.
	enlarge bool
	say     notice
}

// notice is a line for the maker.
type notice struct {
	kind noticeKind
	text string
}

type noticeKind int

const (
	saying  noticeKind = iota // something was done
	warning                   // something is asked or to be heeded
	failing                   // something could not be done
)

func said(format string, args ...any) move {
	return move{say: notice{saying, fmt.Sprintf(format, args...)}}
}

func failed(err error) move { return move{say: notice{failing, err.Error()}} }

// A scroller is a screen that is longer than some windows.
type scroller interface {
	// fit brings what is scrolled back to where the window has something to show.
	fit(width, height int)
}
