// Package storage is the book on disk: a bbolt file that holds every bow, its entries and the half-typed
// forms, and a journal beside it. What is saved is in both, synced, when the call returns; either rebuilds
// the other.
//
// bows.book is a bbolt database:
//
//	book      "head" → {"sum","format":"bendbook/book","version","id","journal":{"size","sum"}}
//	bows      bow's id → {"sum","bow","units","describe","extra"}
//	entries   bow's id → bucket: 16-byte key → {"sum","bow","key","id","entry"}
//	counts    bow's id → how many entries it has
//	settings  number → {"sum","key","settings"}; the last counts
//	drafts    key → half-typed form
//	rows      bow's id → the rack's row, cached
//
// bows.book.journal is text, a JSON object a line:
//
//	{"sum":"bc545e16","format":"bendbook/journal","version":1,"book":"01J…"}
//	{"sum":"891d1df2","bow":"b1","units":{…},"describe":{…},"of":2,"left":1}
//	{"sum":"c7c1f70c","bow":"b1","key":"01J…","id":"01J…","entry":{…},"draft":"new","of":2}
//
// A "sum" is CRC-32C, in hex, over the text behind the comma that follows it. A value in the book is the
// line of the journal without its last fields: "draft" is the draft that the save dropped, "of" how many
// lines it has, "left" how many are still to come. Counts, drafts and rows begin with a sum over bucket,
// NUL, key, NUL and text.
//
// What a user of old files may rely on: entries are added and never changed, and documents stay byte for
// byte as they came, white space aside. A book says its format and version at a place that stays. A book of
// another version, a damaged one, and any other file are refused and not touched.
//
// To read the source, begin with line.go, journal.go and book.go.
package storage
