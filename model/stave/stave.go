// Package stave computes the strung bow from a document: a stave with its stiffness in, the bow braced and
// drawn out. The documents are the project's own, bendbook/stave and bendbook/strung, both JSON:
//
//	{"format": "bendbook/stave", "version": 1, "units": {"length": "in", "force": "lbf"}, "handle": 4,
//	 "limbs": {"upper": {"length": 34, "at": [0, 17, 34], "stiffness": [60000, 33000, 6000], "rest_bend": null}, "lower": {}},
//	 "string": {"brace": 6}, "draws": [8, 12, 28]}
//
// Places are distances from the root along the limb, the first 0 and the last the limb's length; stiffness (force·length²) and
// rest bend (1/length) are linear between them. A lower limb that is left out or empty is the upper one
// over again. The string is given by its length or by the brace height at the middle of the handle. Draws are from the
// belly line to the hook. Lengths may be in in, cm or mm, forces in lbf, kgf or N; the answer is in the same.
//
// What is wrong with a document is told in one line that names the field and what was expected there. The package knows
// nothing of files, screens or records of bows.
package stave

import "io"

// Compute reads one stave document and solves its bow. The error is a *[model.FieldError] whatever is
// wrong with the document; only a failure to read is passed on as it comes.
func Compute(r io.Reader) (Answer, error) {
	doc, err := read(r)
	if err != nil {
		return Answer{}, err
	}
	return doc.solve()
}
