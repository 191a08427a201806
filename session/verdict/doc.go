// Package verdict says what a bow's record says now: the weight to come, how far the next pull may go, how
// the limbs bend against the aim, where to take wood and when to stop, tiller and set, and the readings
// that are out of place. It turns a story into the passes that package estimate folds, and figures into
// sentences.
//
// All of it follows from the story, the shop's practice and, where the aim is another bow's shape, that
// shape. A record without a shop is judged by common practice. Figures are in inches and pounds-force; the
// document and the sentences are in the bow's own units.
package verdict
