package stave

import (
	"encoding/json"
	"io"

	"pgregory.net/rapid"
)

// Run reads one stave document and writes the answer as one JSON document with a line break behind it.
// Nothing is written after an error of [Compute].
func Run(r io.Reader, w io.Writer) error {
	answer, err := Compute(r)
	if err != nil {
		return err
	}
	out, err := json.MarshalIndent(answer, "", "  ")
	if err != nil {
		return err
	}
	_, err = w.Write(append(out, '\n'))
	return err
}

// check fails the test at an error.
func check(t rapid.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}
