package stave

import (
	"bytes"
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"bendbook/model"
)

// FuzzStave feeds anything to the command: it neither panics nor hangs, and whatever fails is reported in one
// clear line. What succeeds is a document of finite numbers.
func FuzzStave(f *testing.F) {
	f.Add([]byte(example))
	f.Add([]byte(strings.Replace(example, "8, 12, 28", "6, 6.01, 40, 60", 1)))
	f.Add([]byte(strings.Replace(example, `"brace": 6`, `"length": 73`, 1)))
	f.Add([]byte(strings.Replace(example, `null`, `[0.01, -0.01, -0.02]`, 1)))
	f.Add([]byte(strings.Replace(example, `{}`, `{"length": 33, "at": [0, 33], "stiffness": [50000, 1]}`, 1)))
	f.Add([]byte(`{"format": "bendbook/stave", "version": 1}`))
	f.Fuzz(func(t *testing.T, doc []byte) {
		var out bytes.Buffer
		err := Run(bytes.NewReader(doc), &out)
		if err != nil {
			var field *model.FieldError
			text := err.Error()
			if !errors.As(err, &field) || text == "" || len(text) > 600 || strings.ContainsAny(text, "\n\r\x1b") ||
				!utf8.ValidString(text) {
				t.Fatalf("not one clear line: %q", text)
			}
			if out.Len() > 0 {
				t.Fatalf("wrote %q and failed: %v", out.String(), err)
			}
			return
		}
		var answer Answer
		check(t, json.Unmarshal(out.Bytes(), &answer))
		for _, d := range answer.Draws {
			for _, v := range []float64{d.Force, d.Energy, d.Upper.MomentRoot, d.Lower.MomentRoot, d.Upper.Nock[0],
				d.Lower.Nock[1]} {
				if math.IsNaN(v) || math.IsInf(v, 0) || d.Force < 0 {
					t.Fatalf("%+v", d)
				}
			}
		}
	})
}
