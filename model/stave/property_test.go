package stave

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"

	"bendbook/model"
)

// TestAnyNumbersAreAnsweredOrRefused writes documents of the right form with numbers of any size. Each is
// answered, or refused in one line that names a field; none panics or hangs.
func TestAnyNumbersAreAnsweredOrRefused(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		wild := rapid.Bool().Draw(t, "wild")
		number := func(name string, usual, spread float64) float64 {
			if wild && rapid.IntRange(0, 5).Draw(t, name+" is wild") == 0 {
				return rapid.Float64().Draw(t, name)
			}
			return usual * math.Pow(spread, rapid.Float64Range(-1, 1).Draw(t, name))
		}
		limb := func(name string) map[string]any {
			length := number(name+" length", 34, 2)
			n := rapid.IntRange(2, 8).Draw(t, name+" places")
			at, stiffness, rest := make([]float64, n), make([]float64, n), make([]float64, n)
			for i := range n {
				at[i] = finite(length * float64(i) / float64(n-1))
				stiffness[i] = number(fmt.Sprint(name, " stiffness ", i), 30000, 20)
				rest[i] = finite(rapid.Float64Range(-1, 1).Draw(t, fmt.Sprint(name, " rest ",
					i)) * number(fmt.Sprint(name, " scale ", i), 0.003, 3))
			}
			at[n-1] = length
			return map[string]any{"length": length, "at": at, "stiffness": stiffness, "rest_bend": rest}
		}
		str := map[string]any{"brace": number("brace", 6, 3)}
		if rapid.Bool().Draw(t, "by length") {
			str = map[string]any{"length": number("string", 70, 1.2)}
		}
		draws := []float64{}
		for i := range rapid.IntRange(0, 4).Draw(t, "draws") {
			draws = append(draws, number(fmt.Sprint("draw ", i), 18, 3))
		}
		doc, err := json.Marshal(map[string]any{
			"format": "bendbook/stave", "version": 1, "units": map[string]any{"length": "in", "force": "lbf"},
			"handle": number("handle", 4, 3), "limbs": map[string]any{"upper": limb("upper"), "lower": limb("lower")},
			"string": str, "draws": draws,
		})
		check(t, err)
		answer, err := computeOrRefuse(t, doc)
		if err != nil {
			if strings.Contains(err.Error(), "NaN") {
				t.Fatal(err)
			}
			return
		}
		for i, d := range answer.Draws {
			if d.Draw != draws[i] {
				t.Fatalf("drawn to %v, not %v", d.Draw, draws[i])
			}
		}
	})
}

// computeOrRefuse computes a document, which gives finite figures or an error in one clear line.
func computeOrRefuse(t rapid.TB, doc []byte) (Answer, error) {
	answer, err := Compute(bytes.NewReader(doc))
	if err != nil {
		var field *model.FieldError
		text := err.Error()
		if !errors.As(err, &field) || text == "" || len(text) > 600 || strings.ContainsAny(text, "\n\r\x1b") ||
			!utf8.ValidString(text) {
			t.Fatalf("not one clear line: %q", text)
		}
		return answer, err
	}
	if _, err := json.Marshal(answer); err != nil {
		t.Fatal(err) // a figure is not finite
	}
	for _, d := range answer.Draws {
		if d.Force < 0 || d.Energy < -1e-9 {
			t.Fatalf("%+v", d)
		}
	}
	return answer, nil
}

// finite is a number that JSON can hold: the largest there is for what lies beyond.
func finite(v float64) float64 { return max(-math.MaxFloat64, min(math.MaxFloat64, v)) }

// FuzzStave feeds anything to the command: it neither panics nor hangs.
func FuzzStave(f *testing.F) {
	for _, change := range [][2]string{
		{}, {"8, 12, 28", "6, 6.01, 40, 60"}, {`"brace": 6`, `"length": 73`}, {`null`, `[0.01, -0.01, -0.02]`},
		{`{}`, `{"length": 33, "at": [0, 33], "stiffness": [50000, 1]}`}, {`, "units"`, "}"},
	} {
		f.Add([]byte(strings.Replace(example, change[0], change[1], 1)))
	}
	f.Fuzz(func(t *testing.T, doc []byte) { _, _ = computeOrRefuse(t, doc) })
}
