// Package digits writes short texts in block figures, for what must be read from
// two or three steps away: a length, a weight, and what is being typed.
//
// It knows figures, the signs used with them, capital letters and the letters of a few units; it
// must not know what the figures mean, nor any colour. The block is plain text,
// exactly rectangular, of a size known beforehand, so that the caller can style
// and place it as a whole.
package digits
