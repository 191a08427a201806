// Package ui is the screen: keys in, pictures out. It knows the shop (package session) and nothing of files or of
// how the book is stored. Each screen is one file with its state, its keys, its Update and its View; the app shows
// the one on top.
package ui

import (
	"cmp"
	"fmt"
	"io"
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"bendbook/model/date"
	"bendbook/model/finish"
	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/ui/look"
)

// The smallest window in which the screens can be used.
const (
	leastWidth  = 60
	leastHeight = 20
)

// Desk is what the screens take from outside.
type Desk struct {
	Shop   *session.Shop
	Styles look.Styles
	// Dress makes the styles anew where the settings of the screen change; nil keeps them.
	Dress func(finish.Screen) look.Styles
	Place *time.Location // in which times are told
	// Save writes a file of the given name where the maker finds it, never over another, and says where that is.
	Save func(name string, data []byte) (path string, err error)

	// bell sounds the terminal's bell, after sends a message once a time is over; Run and New set them.
	bell  func()
	after func(d time.Duration, msg tea.Msg) tea.Cmd

	practice finish.Settings // the shop's settings as they were last looked at
}

// heed follows the shop's settings, as far as they say how screens look.
func (d *Desk) heed(s finish.Settings) {
	if d.Dress != nil {
		d.Styles = d.Dress(s.Screen)
	}
	d.practice = s
}

// dates is the order in which days are told and typed.
func (d *Desk) dates() date.Order { return d.Shop.DatesOf(d.practice) }

// mayWrite says why nothing can be added to the book; "" where it can.
func (d *Desk) mayWrite() string {
	if d.Shop.ReadOnly() != "" {
		return "the book is open to read only"
	}
	return ""
}

// saved says what is on disk where a screen has nothing to say of it.
func (d *Desk) saved() string {
	if why := d.mayWrite(); why != "" {
		return "All is as it was read: " + why + "."
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

// leaveMsg asks the app to keep what is half typed and to end: the terminal was hung up, or the machine goes down.
type leaveMsg struct{}

// toldMsg brings what was worked out beside the keys' way; calling it tells it to the screen that asked, and returns what is to be said of it.
type toldMsg func() notice

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

// App is the program's state: the screens that lie over each other, and the window.
type App struct {
	desk          *Desk
	screens       []screen // the last is on top
	width, height int
	notice        notice
	keypad        keypad
	large         bool // screens that can be are written across the shop
	help          bool
	helpAt        int  // first line of the help that is shown
	warned        bool // that leaving loses what is half typed
	ended         bool
	drawn         bool  // the first screen
	flaw          error // why the book cannot be worked with, found while it was shown
}

// drawnMsg says that the first screen was drawn. What takes longer, and what it does not show, begins only then.
type drawnMsg struct{}

// flawMsg says what is wrong with the book as a whole.
type flawMsg struct{ err error }

// New is the app with the rack on it.
func New(desk Desk) (*App, error) {
	if desk.after == nil {
		desk.after = func(d time.Duration, msg tea.Msg) tea.Cmd {
			return tea.Tick(d, func(time.Time) tea.Msg { return msg })
		}
	}
	a := &App{desk: &desk}
	// Where they cannot be read, common practice holds, and whoever needs them says so.
	settings, _ := desk.Shop.Settings()
	a.desk.heed(settings)
	rack, err := newRack(a.desk)
	if err != nil {
		return nil, err
	}
	a.screens = []screen{rack}
	a.notice = rack.greeting()
	if why := desk.Shop.ReadOnly(); why != "" {
		a.notice = notice{warning, "To read only: " + why}
	}
	return a, nil
}

// framesPerSecond is how often the terminal may be drawn to: the most that bubbletea knows, since a key waits for the next time.
const framesPerSecond = 120

// Run shows the app on a terminal until the maker leaves. What comes through leave ends it at any time, with what is half typed kept.
func Run(desk Desk, in io.Reader, out io.Writer, leave <-chan struct{}) error {
	desk.bell = func() {
		// A terminal that takes no more ends the program by itself.
		_, _ = io.WriteString(out, "\a")
	}
	app, err := New(desk)
	if err != nil {
		return err
	}
	// bubbletea's own signal handler blocks for ever where a signal comes while it is ending already; main watches instead.
	program := tea.NewProgram(app, tea.WithAltScreen(), tea.WithInput(cutPastes(in)), tea.WithOutput(out), tea.WithoutCatchPanics(),
		tea.WithoutSignalHandler(), tea.WithFPS(framesPerSecond))
	done := make(chan struct{})
	defer close(done)
	go func() {
		select {
		case <-leave:
			program.Send(leaveMsg{})
		case <-done:
		}
	}()
	_, err = program.Run()
	if app.flaw != nil {
		return app.flaw
	}
	desk.Shop.KeepTags()
	if keep := app.leave(); keep != nil {
		return fmt.Errorf("keeping what was half typed: %w", keep)
	}
	if err != nil && !app.ended {
		return fmt.Errorf("showing the screen: %w", err)
	}
	return nil
}

// Init implements tea.Model.
func (a *App) Init() tea.Cmd { return nil }

// whole waits until all of the book was looked through.
func (a *App) whole() tea.Msg {
	if err := a.desk.Shop.Whole(); err != nil {
		return flawMsg{err}
	}
	return nil
}

// Update implements tea.Model. What is confirmed is written here, before the next View says so.
func (a *App) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		a.width, a.height = msg.Width, msg.Height
		if !a.drawn {
			a.keepInSight()
			return a, func() tea.Msg { return drawnMsg{} }
		}
	case drawnMsg:
		a.drawn = true
		return a, tea.Batch(a.whole, a.reckon())
	case tea.KeyMsg:
		msg, long := cutPaste(msg)
		for _, key := range a.keypad.keys(msg) {
			a.press(key)
		}
		if long && a.notice.text == "" {
			a.notice = notice{warning, "That is more than a field holds; its end was left out."}
		}
	case reckonedMsg:
		msg.to.take(msg)
	case toldMsg:
		if say := msg(); say.text != "" {
			a.notice = say
		}
	case flawMsg:
		a.flaw, a.ended = msg.err, true
	case tickMsg:
		msg.to.tick()
	case leaveMsg:
		// There may be nobody to ask; Run tells what could not be kept.
		a.ended = true
	}
	if a.ended {
		return a, tea.Quit
	}
	a.keepInSight()
	if !a.drawn {
		return a, nil
	}
	return a, a.reckon()
}

// A scroller is a screen that is longer than some windows.
type scroller interface {
	// fit brings what is scrolled back to where the window has something to show.
	fit(width, height int)
}

// keepInSight fits what is shown to the window, so that View has nothing to change.
func (a *App) keepInSight() {
	if a.width <= 0 || a.height <= 0 || a.tooSmall() {
		return
	}
	height := a.height - 3 - len(a.noticeLines())
	if s, ok := a.top().(scroller); ok {
		s.fit(a.width, height)
	}
	if a.help {
		a.helpAt = max(0, min(a.helpAt, len(a.helpLines(a.width))-height))
	}
}

func (a *App) press(msg tea.KeyMsg) {
	if a.ended {
		return
	}
	if msg.Type == tea.KeyCtrlC {
		a.end()
		return
	}
	a.warned = false
	if a.tooSmall() {
		return // nobody types into what he cannot see
	}
	top := a.top()
	if a.help {
		a.help = a.scrollHelp(msg)
		return
	}
	a.notice = notice{}
	if next, taken := top.typing(msg); taken {
		a.follow(next)
		return
	}
	if isHelp(msg) {
		a.help, a.helpAt = true, 0
		return
	}
	for _, action := range top.actions() {
		if !action.has(msg) {
			continue
		}
		if why := action.why(); why != "" {
			a.notice = notice{warning, fmt.Sprintf("%s: %s", action.name, why)}
			return
		}
		a.follow(action.do())
		return
	}
	if msg.Paste {
		a.notice = notice{warning, "Nothing is typed here: what was pasted has no place, and nothing was changed."}
	}
}

func isHelp(msg tea.KeyMsg) bool {
	return msg.Type == tea.KeyF1 || (msg.Type == tea.KeyRunes && string(msg.Runes) == "?")
}

func (a *App) top() screen { return a.screens[len(a.screens)-1] }

// follow carries out a screen's move.
func (a *App) follow(next move) {
	if next.say.text != "" {
		a.notice = next.say
	}
	if next.enlarge {
		a.large = !a.large
	}
	if next.back || next.swap {
		if err := a.top().leave(); err != nil {
			a.notice = notice{failing, err.Error()}
			return
		}
		a.screens = a.screens[:len(a.screens)-1]
		if len(a.screens) == 0 {
			a.ended = true
			return
		}
		if next.open == nil {
			a.tellReturned()
		}
	}
	if next.open != nil {
		a.screens = append(a.screens, next.open)
		if f, isForm := next.open.(*form); isForm && next.begin != nil {
			a.follow(f.begin(*next.begin))
		}
	}
}

func (a *App) tellReturned() {
	if err := a.top().returned(); err != nil {
		a.notice = notice{failing, err.Error()}
	}
}

// end keeps what is half typed and ends. Where it cannot be kept, the screen stays and says so, once.
func (a *App) end() {
	if err := a.leave(); err != nil && !a.warned {
		a.warned = true
		a.notice = notice{failing, err.Error() + "; the same key again leaves without it"}
		return
	}
	a.ended = true
}

// leave has every screen keep what is half typed.
func (a *App) leave() error {
	for _, s := range a.screens {
		if err := s.leave(); err != nil {
			return err
		}
	}
	return nil
}

// View implements tea.Model: never wider or taller than the window.
func (a *App) View() string {
	if a.width <= 0 || a.height <= 0 || a.ended {
		return ""
	}
	if a.tooSmall() {
		text := fmt.Sprintf("The window has %d columns and %d rows; Bendbook needs %d and %d. Nothing is lost.",
			a.width, a.height, leastWidth, leastHeight)
		return fit(ansi.Wrap(text, a.width, ""), a.width, a.height)
	}
	s := a.desk.Styles
	top := a.top()
	notice := a.noticeLines()
	body := a.height - 3 - len(notice)
	view := ""
	big, canBeBig := top.(acrosser)
	switch {
	case a.help:
		view = a.helpView(a.width, body)
	case a.large && canBeBig:
		view = big.across(a.width, body)
	default:
		view = top.view(a.width, body)
	}
	return steady(fit(s.Spell(strings.Join([]string{
		a.titleLine(), s.Rule(a.width), pad(fit(view, a.width, body), body), strings.Join(notice, "\n"), a.keyLine(),
	}, "\n")), a.width, a.height))
}

// tooSmall says whether the window, once its size is known, cannot show the screens.
func (a *App) tooSmall() bool {
	return a.width > 0 && a.height > 0 && (a.width < leastWidth || a.height < leastHeight)
}

func (a *App) titleLine() string {
	s := a.desk.Styles
	name, what, right := a.top().title()
	// What is spelled out takes more room, so it is spelled before it is cut.
	name, what, right = s.Spell(name), s.Spell(what), s.Spell(right)
	if a.help {
		right = "help"
	}
	if what != "" {
		what = s.Dot() + what
	}
	right = ansi.Truncate(right, a.width/2, "~")
	room := a.width - ansi.StringWidth(right) - 1
	name = ansi.Truncate(name, max(min(12, room), room-ansi.StringWidth(what)), "~")
	what = ansi.Truncate(what, max(0, room-ansi.StringWidth(name)), "~")
	gap := strings.Repeat(" ", max(1, a.width-ansi.StringWidth(name)-ansi.StringWidth(what)-ansi.StringWidth(right)))
	return s.Strong.Render(name) + s.Plain.Render(what) + gap + s.Quiet.Render(right)
}

// noticeLines are the notice in as many lines as it needs, four at the most: the end of what went wrong says what to do.
func (a *App) noticeLines() []string {
	s := a.desk.Styles
	style, text := s.Good, a.notice.text
	switch {
	case text == "":
		style, text = s.Quiet, ansi.Truncate(cmp.Or(a.top().idle(), a.desk.saved()), a.width, "~")
	case a.notice.kind == warning:
		style = s.Caution
	case a.notice.kind == failing:
		style = s.Bad
	}
	lines := wrapped(plain.Line(text), a.width, 4)
	for i, line := range lines {
		lines[i] = style.Render(line)
	}
	return lines
}

// fit cuts text to at most height lines of at most width cells.
func fit(text string, width, height int) string {
	lines := strings.Split(text, "\n")
	if len(lines) > height {
		lines = lines[:max(0, height)]
	}
	for i, line := range lines {
		if ansi.StringWidth(line) > width {
			lines[i] = ansi.Truncate(line, width, "")
		}
	}
	return strings.Join(lines, "\n")
}

// pad adds empty lines up to height.
func pad(text string, height int) string {
	if missing := height - 1 - strings.Count(text, "\n"); missing > 0 {
		text += strings.Repeat("\n", missing)
	}
	return text
}
