// Package finish says how a bow goes from the tiller tree to the customer, by a shop's own practice: the
// stages and what each waits for, how long a coat dries, what finishing and first use take off the weight,
// what is stamped on the bow and which number it gets.
//
// A shop's practice is its Settings. They begin with common practice, which has no published source, and are
// the shop's to change. The package knows no clock: whoever asks says what the time is. Forces are
// pounds-force, lengths inches.
package finish
