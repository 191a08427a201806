// Package advice says what a bow's record says now: what it will weigh, how far the next pull may go, how its limbs
// bend against the aim and where they surely don't, where to take wood and when to stop, its tiller and set, the readings that are out of place, and what
// nobody can know yet. It turns a story into the passes that package estimate folds, and figures into sentences.
//
// Everything in it follows from the story alone, so that a bow says the same whether its record was just typed or
// read from a file. It must not know screens, files or the book. Figures are in inches and
// pounds-force; the document and the sentences are in the bow's own units.
package advice
