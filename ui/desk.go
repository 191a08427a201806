package ui

import (
	"fmt"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"bendbook/model/aim"
	"bendbook/model/date"
	"bendbook/model/finish"
	"bendbook/session"
	"bendbook/session/shop"
	"bendbook/session/verdict"
	"bendbook/ui/look"
)

// Desk is what the screens take from outside.
type Desk struct {
	Shop   *shop.Shop
	Styles look.Styles
	// Dress makes the styles anew where the settings of the screen change; nil keeps them.
	Dress func(finish.Screen) look.Styles
	Place *time.Location // in which times are told
	// Save writes a file where the maker finds it, never over another, and says where that is.
	Save func(name string, data []byte) (path string, err error)

	// Picture reads a picture: the newest in a folder, or one by its name there; path is its whole name. Replace
	// writes a file over another. nil reads none.
	Picture func(folder, name string) (data []byte, path string, err error)
	Replace func(path string, data []byte) error

	// bell sounds the terminal's bell, after sends a message once a time is over, advise works out what the
	// readings of a story say, going on from what was said before; Run sets them.
	bell   func()
	after  func(d time.Duration, msg tea.Msg) tea.Cmd
	advise func(verdict.Advice, session.Story, verdict.Settings, *aim.Aim) (verdict.Advice, error)

	practice finish.Settings // the shop's settings as they were last looked at
	large    bool            // screens that can be are shown in block figures
	// asks is what this key asks to be sure of, asked what the key before it did.
	asks, asked string
}

// follow remembers the shop's settings and dresses the screens by them.
func (d *Desk) follow(s finish.Settings) {
	if d.Dress != nil {
		d.Styles = d.Dress(s.Screen)
	}
	d.practice = s
}

// dates is the order in which days are told and typed.
func (d *Desk) dates() date.Order { return d.Shop.DatesOf(d.practice) }

// mayWrite says why nothing can be added to the book; "" where it can.
func (d *Desk) mayWrite() string {
	return unless(d.Shop.ReadOnly() == "", "the book is open to read only")
}

// saved says what is on disk where a screen has nothing to say of it.
func (d *Desk) saved() string {
	if why := d.mayWrite(); why != "" {
		return fmt.Sprintf("All is as it was read: %s.", why)
	}
	return "All saved."
}

// tell is a time to the minute; "" where it is not known.
func (d *Desk) tell(at time.Time) string {
	if at.IsZero() {
		return ""
	}
	return d.dates().PrintTime(at.In(d.Place))
}

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

// toldMsg brings what was worked out in the background; calling it hands it to the screen that asked.
type toldMsg func() notice
