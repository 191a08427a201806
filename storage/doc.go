// Package storage is the book on disk: a bbolt file that holds every bow, its entries and the half-typed
// forms, and a journal beside it. What is saved is in both, synced, when the call returns; either rebuilds
// the other.
//
// bows.book is a bbolt database:
//
//	book      "head" → {"sum","format":"bendbook/book","version","id","journal":{"size","sum"}}
//	bows      bow's id → {"sum","bow","units","describe","extra"}
//	entries   bow's id → bucket: 16-byte key → {"sum","bow","key","id","entry"}
//	settings  number → {"sum","key","settings"}; the last counts
//	drafts    key → half-typed form
//	rows      bow's id → the rack's row, cached
//
// bows.book.journal is text, a save a line; in it are the values that it put in the book, byte for byte,
// and the draft that it dropped:
//
//	{"sum":"6542e6a4","format":"bendbook/journal","version":1,"book":"01J…"}
//	{"sum":"72a574ab","lines":[{"sum":"c7c1f70c","bow":"b1","key":"01J…","id":"…","entry":{…}}],"draft":"new"}
//
// A "sum" is CRC-32C, in hex, over the text behind the comma that follows it. Drafts and rows begin with a
// sum over bucket, NUL, key, NUL and text. The sequence of a bow's bucket counts its entries; that of book,
// all lines.
//
// What a user of old files may rely on: entries are added and never changed, and documents stay byte for
// byte as they came, white space aside. A book says its format and version at a place that stays. A book of
// another version, a damaged one, and any other file are refused and not touched.
//
// To read the source, begin with line.go, journal.go and book.go.
package storage
