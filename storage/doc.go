// Package storage is the book on disk: one file that holds every bow, its entries and the half-typed forms.
//
// What is written is on disk when the call returns. Entries are added and never changed. Everything carries a
// checksum, so that what comes back is what was put in, or an error. A second process finds out who has the book
// and may look at a copy of it as it stood at that moment.
//
// What a user of old files may rely on: a book says its format and version at a place that stays; a book of an
// earlier version is brought up to date on opening, after a copy of it was laid beside it; a book of a later
// version is refused and not touched, and so is any file that is not a book, or is damaged.
//
// The file is a bbolt database with six buckets, the last two made when they are first written to:
//
//	book     "head" → the format, its version, the book's id
//	bows     bow's id → its units, its description, its record's further fields
//	entries  bow's id → bucket: 16-byte key → the entry's id and document
//	drafts   key → document
//	tags     bow's id → what the rack needs of the bow, dropped when an entry is added
//	settings number → the shop's settings, one after another; the last counts
//
// Each value is sealed (see envelope.go). Documents are kept byte for byte as they came.
//
// The package knows records as documents with keys. It must not know what an entry means, what a screen shows, or
// package session, whose interface Book it satisfies.
package storage
