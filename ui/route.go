package ui

import (
	"fmt"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	sheet "bendbook/session/form"
	"bendbook/session/shop"
)

// route says which screen to open, and with what. The router makes the screen of it.
type route struct {
	page   string
	bow    string      // its id, where atWork is not given
	atWork *shop.Bench // the bow
	work   *work       // the bow with what its readings say
	bows   []string    // ids of those to compare
	ask    *question   // what a form asks
	first  *tea.KeyMsg // the key that opens a form and is the first one typed into it
}

// question is what a form asks, and what comes of it.
type question struct {
	filling *sheet.Form
	// after says where to go when the outcome is kept, and that it is.
	after func(sheet.Kept) move
	// waiting says whether what is expected is still being worked out; nil where nothing is.
	waiting func() bool
	held    time.Duration // how long the bow stood drawn, where the hold clock says so
}

// The screens that others open. Those with a key of their own at the bench (page.key) need no name here.
const (
	toRack     = "rack"
	toBench    = "bench"
	toForm     = "form"
	toHold     = "hold"
	toFinish   = "finish"
	toChecks   = "checks"
	toCard     = "card"
	toSummary  = "summary"
	toToday    = "today"
	toCompare  = "compare"
	toSettings = "settings"
)

// move is what a screen wants after a key. The zero value stays.
type move struct {
	open route // a screen on top of this one; none without a page
	back bool  // to the one below
	swap bool  // open takes this one's place
	// enlarge turns the view across the shop on and off.
	enlarge bool
	say     notice
}

func (m move) opens() bool { return m.open.page != "" }

// goTo opens a screen on a bow at work; nil for one that is about no bow.
func goTo(page string, atWork *shop.Bench) move { return move{open: route{page: page, atWork: atWork}} }

func goToBow(page, id string) move { return move{open: route{page: page, bow: id}} }

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
