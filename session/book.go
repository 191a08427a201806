package session

import (
	"bendbook/model/record"
)

// Book is what session asks of the book on disk. Everything that it is given is on disk when the call returns
// without an error. Errors say in plain words what is wrong with the book and what to do.
type Book interface {
	// Whole waits until all of the book was looked through, and says what is wrong with it; nil where nothing is. A book may be handed out ahead
	// of that: then what needs its entries waits, and nothing is written to it.
	Whole() error
	// Bows calls visit for each bow as it was first described, in no promised order, until visit fails. visit may read
	// the book.
	Bows(visit func(record.Description) error) error
	// Bow is one bow as it was first described; ok is false where the book has no such bow.
	Bow(id string) (desc record.Description, ok bool, err error)
	// Items are a bow's entries in order of their keys.
	Items(bow string) ([]record.Item, error)
	// AddBow adds a new bow with its entries and drops the draft that it came from (draft "" is none): all of it or nothing.
	AddBow(rec record.Record, draft string) error
	// AddItems adds entries, each with its key, to a bow and drops the draft that they came from
	// (draft "" is none): all of it or nothing. An entry whose key is taken is refused.
	AddItems(bow string, items []record.Item, draft string) error
	// Draft is the half-typed form kept under key; ok is false where there is none.
	Draft(key string) (doc []byte, ok bool, err error)
	// Drafts are the keys of all half-typed forms.
	Drafts() ([]string, error)
	// SaveDraft keeps a half-typed form under key, in place of what was there.
	SaveDraft(key string, doc []byte) error
	// DropDraft forgets the half-typed form under key, if there is one.
	DropDraft(key string) error
	// Settings are the shop's settings as they were kept last; ok is false where none were.
	Settings() (doc []byte, ok bool, err error)
	// KeepSettings keeps the shop's settings; those before stay in the book and are not asked for again.
	KeepSettings(doc []byte) error
	// Tags calls visit for each bow's id, in no promised order, with the tag that was kept of it, "" where there is none. A tag holds nothing that
	// the bow's entries do not tell; it is dropped with every entry that is added to the bow.
	Tags(visit func(bow, tag string) error) error
	// KeepTags keeps tags by the ids of their bows; those of bows that the book does not have are left out.
	KeepTags(tags map[string][]byte) error
	// ReadOnly says why nothing can be written: who has the book, and as of when it is shown. "" where writing is possible.
	ReadOnly() string
}
