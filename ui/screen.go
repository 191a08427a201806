package ui

import tea "github.com/charmbracelet/bubbletea"

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
	// about says in a sentence or two what the screen is for, as its page explains it; the help begins with it.
	about() string
	explain(about string)
	// actions are the screen's keys.
	actions() []action
	// typing takes a key before the actions do, where a field is being typed; taken says that it did.
	typing(msg tea.KeyMsg) (next move, taken bool)
	// opened is called when the screen was put on top.
	opened() move
	// leave keeps what is half typed; the screen may be shown again afterwards.
	leave() error
	// returned is called when the screen on top was closed.
	returned() error
	// background is work that is to begin now beside the keys; nil where there is none, or it is under way.
	background() tea.Cmd
}

// base is embedded in screens for what they have no use for.
type base struct{ text string } // what the screen is for

// explain takes what the screen's page says of it.
func (b *base) explain(text string) { b.text = text }

func (b *base) about() string { return b.text }

func (base) idle() string                   { return "" }
func (base) fit(int, int)                   {}
func (base) typing(tea.KeyMsg) (move, bool) { return move{}, false }
func (base) opened() move                   { return move{} }
func (base) leave() error                   { return nil }
func (base) returned() error                { return nil }
func (base) background() tea.Cmd            { return nil }

// page is a screen as the router knows it.
type page struct {
	name  string
	about string // what it is for, in a sentence or two
	open  func(*Desk, route) (screen, error)
	key   action             // opens it at the bench, where it has keys
	off   func(*work) string // why it can't be opened there now; nil where it always can
}
