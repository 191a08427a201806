// Package shop is a maker's book seen as bows: the rack, the bench at which entries are added, drafts,
// settings, finishing, numbers, and bows that come and go as records. It reaches the book through the
// interface Book and knows no screen, no file and no storage.
package shop
