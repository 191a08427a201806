package shop

import (
	"errors"

	"bendbook/model/record"
)

// ErrNoBow is wrapped when a book has no bow of the name, number or id that was asked for.
var ErrNoBow = errors.New("no such bow")

// Book is what a shop needs of the book on disk. What it is given is on disk when the call returns nil.
type Book interface {
	// Bow is one bow as it was first described, with its entries in order of their keys; ok is false where the
	// book has no such bow. Any damage in the entries is an error, with which the description comes.
	Bow(id string) (rec record.Record, ok bool, err error)
	// AddBow adds a new bow with its entries and drops the draft it came from ("" is none): all or nothing.
	AddBow(rec record.Record, draft string) error
	// AddItems adds entries, each with its key, to a bow and drops the draft that they came from (draft "" is
	// none): all of it or nothing. An entry whose key is taken is refused.
	AddItems(bow string, items []record.Item, draft string) error
	// Drafts are all half-typed forms by their keys.
	Drafts() (map[string][]byte, error)
	// SaveDraft keeps a half-typed form under key, in place of what was there.
	SaveDraft(key string, doc []byte) error
	// DropDraft forgets the half-typed form under key, if there is one.
	DropDraft(key string) error
	// Settings are the shop's settings as they were kept last; ok is false where none were.
	Settings() (doc []byte, ok bool, err error)
	// KeepSettings keeps the shop's settings. Earlier ones stay in the book, but nobody asks for them.
	KeepSettings(doc []byte) error
	// Rows are, by the bow's id, how many entries the book has of each, and the rack rows that were cached last.
	Rows() (entries map[string]int, rows map[string][]byte, err error)
	// KeepRows caches rack rows by the ids of their bows. A row itself says which layout
	// it has and of how many entries it was made; the book never drops one.
	KeepRows(rows map[string][]byte) error
	// Refresh brings a read-only book up to what its holder has written since, and says whether anything
	// came. A book that is open for writing never changes by itself.
	Refresh() (changed bool, err error)
	// ReadOnly says why nothing can be written; "" where writing is possible.
	ReadOnly() string
	// Notice says what opening the book had to mend, for the maker to read; "" for nothing.
	Notice() string
}
