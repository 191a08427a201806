// Package digits writes short texts in block figures, for what must be read from two or three steps away: a
// length, a weight, and what is being typed. The block is plain text, exactly rectangular, of a size known
// beforehand. It knows figures, their signs, capital letters and the letters of a few units; it must not know
// what the figures mean, nor any colour.
package digits
