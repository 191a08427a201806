package line

import (
	"strconv"
	"strings"

	"bendbook/model/say"
	"bendbook/session"
	"bendbook/session/checks"
	"bendbook/session/sheet"
)

// rack is where bows are listed and chosen.
type rack struct {
	*talk
	greeted bool
	listed  []session.Row // as they were said last: a bow is named by its place in this list, too
}

// mostListed is how many bows are said at once.
const mostListed = 20

func newRack(t *talk) *rack { return &rack{talk: t} }

func (r *rack) name() string { return say.It("rack") }

func (r *rack) arrive() error {
	if !r.greeted {
		r.greeted = true
		r.say(say.It("Bendbook, line by line. ? lists what can be said."))
		if why := r.desk.Shop.ReadOnly(); why != "" {
			r.say(say.F("To read only: %s", ended(why)))
		}
		if half, err := r.desk.Shop.HalfTyped(""); err == nil && half {
			r.say(say.It("A new bow is half typed: n takes it up again."))
		}
	}
	return r.inHand()
}

func (r *rack) commands() []command {
	write := r.mayWrite
	return []command{
		{letter: "o", word: "open", takes: "BOW", long: "Take a bow to the bench. BOW is its place in the list, its number, its id or the start of its name; its place alone does too.", do: r.open},
		{letter: "n", word: "new", off: write, long: "Describe a new bow.", do: func(string) error { return r.describeNew(sheet.NewBowForm(r.desk.Shop)) }},
		{letter: "/", word: "find", takes: "WORDS", long: "List the bows with these words in name, number, wood, customer or stage.", do: r.find},
		{letter: "l", word: "list", long: "List the bows in hand.", do: func(string) error { return r.inHand() }},
		{letter: "L", word: "all", long: "List all bows of the book.", do: func(string) error { return r.find("") }},
		{letter: "t", word: "today", long: "List the bows in hand by what can be done today, what dries until when, and which cannot be ready in time.", do: func(string) error { return r.today() }},
		{letter: "x", word: "done", takes: "BOW", off: write, long: "Log what a bow waits for as done now. What is weighed is asked for, what is marked is stamped.", do: r.done},
		{letter: "f", word: "finish", takes: "BOW", long: "Go to a bow's finishing: stages, drying, mark, number and card.", do: func(rest string) error {
			atWork, err := r.bench(rest)
			if err != nil {
				return err
			}
			return r.visit(newFinishing(r.talk, atWork))
		}},
		{letter: "d", word: "describe", takes: "BOW", off: write, long: "Change a bow's description or order.", do: func(rest string) error {
			atWork, err := r.bench(rest)
			if err != nil {
				return err
			}
			return r.describe(atWork)
		}},
		{letter: "m", word: "another", takes: "BOW", off: write, long: "Make another like this one: a new bow with its order, size and aim.", do: func(rest string) error {
			atWork, err := r.bench(rest)
			if err != nil {
				return err
			}
			return r.describeNew(sheet.LikeForm(r.desk.Shop, atWork.Story()))
		}},
		{letter: "a", word: "aside", takes: "BOW", off: write, long: "Set a bow aside, or take it in hand again.", do: r.aside},
		{letter: "c", word: "compare", takes: say.It("BOW, BOW"), long: "Set bows side by side; one alone beside what the shop's finished bows come to.", do: r.compare},
		{word: "settings", long: "Read how the shop works.", do: func(string) error { return r.settings() }},
		{letter: "q", word: "leave", long: "Leave Bendbook.", do: func(string) error { return errLeft }},
	}
}

func (r *rack) other(text string) (bool, error) {
	if _, err := strconv.Atoi(text); err == nil {
		return true, r.open(text)
	}
	return false, nil
}

// inHand lists the bows in hand.
func (r *rack) inHand() error {
	rows, err := r.desk.Shop.Rack()
	if err != nil && len(rows) == 0 {
		return err
	}
	now := r.desk.Shop.Here()
	r.listed = nil
	late := 0
	for _, row := range rows {
		if row.InHand {
			r.listed = append(r.listed, row)
		}
		if days, ok := row.DaysLeft(now); ok && days < 0 {
			late++
		}
	}
	if late > 0 {
		r.sayf("The rack: %d in hand, %d in the book, %d late.", len(r.listed), len(rows), late)
	} else {
		r.sayf("The rack: %d in hand, %d in the book.", len(r.listed), len(rows))
	}
	if len(rows) == 0 {
		r.say(say.It("The book is empty. n describes the first bow."))
	}
	r.list()
	if err != nil {
		r.say(ended(err.Error()))
	}
	return nil
}

func (r *rack) find(words string) error {
	rows, err := r.desk.Shop.Rack()
	if err != nil && len(rows) == 0 {
		return err
	}
	r.listed = nil
	for _, row := range rows {
		if row.Matches(words) {
			r.listed = append(r.listed, row)
		}
	}
	if len(r.listed) == 0 {
		r.say(say.It("No bow is found."))
	}
	r.list()
	return nil
}

// list says the listed bows, one a line.
func (r *rack) list() {
	for i, row := range r.listed {
		if i == mostListed {
			r.sayf("And %d more; find WORDS lists some of them.", len(r.listed)-i)
			break
		}
		r.sayf("%d: %s.", i+1, r.sayRow(row))
	}
}

func (r *rack) sayRow(row session.Row) string {
	parts := []string{session.NameOf(row.Bow)}
	if row.Damage != nil {
		return say.F("%s; damaged: %s", parts[0], row.Damage.Error())
	}
	now := r.desk.Shop.Here()
	days, promised := row.DaysLeft(now)
	switch missed := row.Misses(r.desk.Place); {
	case promised && days < 0:
		parts = append(parts, say.F("LATE by %s", say.N(-days, "%d day", "%d days", -days)))
	case missed > 0:
		parts = append(parts, say.F("NOT IN TIME, ready %s at the earliest", session.SayEarliest(row.Handover, now, r.desk.Shop.Dates())))
	}
	parts = append(parts, session.SayStage(row.Stage))
	if pull, ok := row.Pull.Get(); ok {
		parts = append(parts, say.F("so far %s", session.SayPeak(row.Bow, pull)))
	}
	if order := session.SayOrder(row.Bow, r.desk.Shop.Dates()); order != "" {
		parts = append(parts, say.F("order: %s", order))
	}
	if row.Waits != "" {
		parts = append(parts, say.F("waits for: %s", row.Waits))
	}
	if row.HalfTyped != "" {
		parts = append(parts, say.F("half typed: %s", sheet.FormName(row.HalfTyped)))
	}
	return spoken(strings.Join(parts, "; "))
}

// which is the bow that is meant: by its place in the list, or as the command line finds it.
func (r *rack) which(asked string) (id string, err error) {
	if asked == "" && len(r.listed) == 1 {
		return r.listed[0].Bow.ID, nil
	}
	if asked == "" {
		return "", refuse(say.It("which bow? Expected its place in the list, its number, its id or the start of its name"))
	}
	if n, err := strconv.Atoi(asked); err == nil && n >= 1 && n <= len(r.listed) {
		return r.listed[n-1].Bow.ID, nil
	}
	bow, err := r.desk.Shop.Find(asked)
	if err != nil {
		return "", refusal{err}
	}
	return bow.ID, nil
}

func (r *rack) bench(asked string) (*session.Bench, error) {
	id, err := r.which(asked)
	if err != nil {
		return nil, err
	}
	return r.desk.Shop.Bench(id)
}

func (r *rack) open(asked string) error {
	atWork, err := r.bench(asked)
	if err != nil {
		return err
	}
	return r.visit(newBench(r.talk, atWork))
}

// describeNew asks for a new bow and takes it to the bench.
func (t *talk) describeNew(form *sheet.Form, err error) error {
	if err != nil {
		return err
	}
	kept, err := t.fill(form, "")
	if err != nil || kept == nil {
		return err
	}
	atWork, err := t.desk.Shop.Bench(kept.ID)
	if err != nil {
		return err
	}
	t.described(kept)
	return t.visit(newBench(t, atWork))
}

// describe asks for a bow's description anew.
func (t *talk) describe(atWork *session.Bench) error {
	form, err := sheet.EditForm(t.desk.Shop, atWork)
	if err != nil {
		return err
	}
	kept, err := t.fill(form, "")
	if err == nil && kept != nil {
		t.described(kept)
	}
	return err
}

// described says that a description is saved, and what is to be thought of with its order.
func (t *talk) described(kept *sheet.Kept) {
	t.say(say.F("Saved: %s.", session.NameOf(kept.Bow)))
	found, err := checks.Warnings(t.desk.Shop, kept.Bow)
	if err != nil {
		t.say(ended(err.Error()))
	}
	for _, text := range found {
		t.say(say.F("To think of: %s", spoken(text)))
	}
}

func (r *rack) aside(asked string) error {
	atWork, err := r.bench(asked)
	if err != nil {
		return err
	}
	name := session.NameOf(atWork.Story().Bow())
	if !atWork.Story().InHand {
		if err := atWork.SetAside(false, ""); err != nil {
			return err
		}
		r.sayf("%s is in hand again.", name)
		return nil
	}
	form, err := sheet.EntryForm(r.desk.Shop, atWork, sheet.Aside())
	if err != nil {
		return err
	}
	kept, err := r.fill(form, "")
	if err == nil && kept != nil {
		r.saved(atWork, kept)
	}
	return err
}

// saved says that an entry is in the book.
func (t *talk) saved(atWork *session.Bench, kept *sheet.Kept) {
	t.sayf("Saved %s: %s.", t.desk.Shop.Here().Format("15:04"), session.Say(atWork.Story().Bow(), kept.Event))
}

// done logs what a bow waits for. What would be asked about is done at its own place.
func (r *rack) done(asked string) error {
	atWork, err := r.bench(asked)
	if err != nil {
		return err
	}
	f := newFinishing(r.talk, atWork)
	if err := f.look(); err != nil {
		return err
	}
	if f.f.Progress.At < 0 || f.f.Doubt(f.f.Progress.Stages[f.f.Progress.At]) != "" || f.f.Progress.AtTheTree() {
		r.say(say.It("That is told at its finishing."))
		return r.visit(f)
	}
	return f.log(f.f.Progress.At)
}
