// Package verdict says what a bow's record says now: what it will weigh, how far the next pull may go, how its limbs
// bend against the aim and where they surely don't, where to take wood and when to stop, its tiller and set, the readings that are out of place, and what
// nobody can know yet. It turns a story into the passes that package estimate folds, and figures into sentences.
//
// Everything in it follows from the story, the shop's practice that it is handed (Settings: what finishing takes, what a stroke of
// a tool was seen to take) and, where the aim is another bow's shape, that shape. A record read from a file without a shop is judged by common
// practice. PracticeFor and ShapeFor ask the shop for both; nothing here knows where the shop keeps its book, writes to it, or
// knows screens or files. Figures are in inches and pounds-force; the document and the
// sentences are in the bow's own units.
package verdict
