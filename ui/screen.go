package ui

import (
	"fmt"

	tea "github.com/charmbracelet/bubbletea"
)

// screen is one of the app's pictures.
type screen interface {
	// title is the first line: the bow's name, which is cut first, what of it, and where one is.
	title() (name, what, right string)
	// idle is what the notice line says where there is no notice.
	idle() string
	// fit is called after each message with the room for the view; what is scrolled is brought into it.
	fit(width, height int)
	// view is exactly height lines, each at most width cells.
	view(width, height int) string
	// about says in a sentence or two what the screen is for; the help begins with it.
	about() string
	// actions are the screen's keys.
	actions() []action
	// typing takes a key before the actions do, where a field is being typed; taken says that it did.
	typing(msg tea.KeyMsg) (next move, taken bool)
	// leave keeps what is half typed; the screen may be shown again afterwards.
	leave() error
	// returned is called when the screen on top was closed.
	returned() error
}

// base is embedded in screens for what they have no use for.
type base struct{}

func (base) idle() string                   { return "" }
func (base) fit(int, int)                   {}
func (base) typing(tea.KeyMsg) (move, bool) { return move{}, false }
func (base) leave() error                   { return nil }
func (base) returned() error                { return nil }

// move is what a screen wants after a key. The zero value stays.
type move struct {
	open screen // on top of this one
	back bool   // to the one below
	swap bool   // open takes this one's place
	// begin is the first key of a form that is opened; nil for none.
	begin *tea.KeyMsg
	// enlarge turns the view across the shop on and off.
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
	warning                   // something is asked
	failing                   // something could not be done
)

func said(format string, args ...any) move {
	return move{say: notice{saying, fmt.Sprintf(format, args...)}}
}

// done is said of what closes the screen.
func done(format string, args ...any) move {
	next := said(format, args...)
	next.back = true
	return next
}

func warned(format string, args ...any) move {
	return move{say: notice{warning, fmt.Sprintf(format, args...)}}
}

func failed(err error) move { return move{say: notice{failing, err.Error()}} }
