// Package picture draws a bow's story as SVG, for pages that are read and printed: both limbs pass over pass as the bow
// hangs, and what changed, the bend against the aim, the force-draw curve and the weight over the passes.
//
// Every picture says in words and in a table what it shows. Lines are told apart by their dashes and marks, so that
// a picture can be read in black and white; a page may add colours by the classes of the lines (s0, s1, ...).
//
// The pictures are drawn by this package and not by a plotting library: gonum.org/v1/plot makes the program
// larger by several times what all of this package takes (DEVELOPERS.md has the sizes), it writes letters as outlines that no
// reader can read aloud, has neither title nor desc, and fixes colours and size where a page must follow dark
// screens and narrow ones. The package must not know the page around them.
package picture
