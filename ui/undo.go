package ui

import (
	"bendbook/session"
	"bendbook/session/shop"
)

// sure says whether the key before this one asked the same; where it didn't, the caller asks now.
func (d *Desk) sure(what string) bool {
	d.asks = what
	return d.asked == what
}

// undoing are the keys that undo the last thing done, which last finds, and bring it back. They name it
// first, unless it is the entry just made. changed looks anew at what is shown.
func (d *Desk) undoing(last func(redo bool) (shop.Deed, error), changed func() error) []action {
	turn := func(redo bool, key, does string) move {
		deed, err := last(redo)
		if err != nil {
			return warned("%s.", session.Capital(err.Error()))
		}
		if !deed.Just && !d.sure(key+deed.Says) {
			of := ""
			if at := d.tell(deed.At); at != "" {
				of = " of " + at
			}
			return warned("%s again %s this%s: %s.", key, does, of, deed.Says)
		}
		if err := deed.Do(); err != nil {
			return failed(err)
		}
		// Settings that can't be read are told of by those who need them.
		settings, _ := d.Shop.Settings()
		d.follow(settings)
		if err := changed(); err != nil {
			return failed(err)
		}
		did := "Undone; U brings it back"
		switch entered := deed.Bow != ""; {
		case redo && entered:
			did = "Counts again"
		case redo:
			did = "Done again"
		case !entered:
			did = "Undone; U does it again"
		}
		return said("%s: %s.", did, deed.Says)
	}
	return []action{
		{keys: "u", name: "undo", main: true, in: writes, off: d.mayWrite,
			do: func() move { return turn(false, "u", "undoes") },
			long: "Undo the last thing you did: an entry, a correction, a stage, a setting, a form thrown away. " +
				"It says what it is first, unless you just did it. It stays in the story, struck out."},
		{keys: "U", name: "redo", in: writes, off: d.mayWrite,
			do:   func() move { return turn(true, "U", "brings back") },
			long: "Bring back what you undid, one thing after the other."},
	}
}
