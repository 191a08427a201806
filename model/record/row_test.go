package record

import (
	"encoding/json"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// TestARowIsReadAsAnyArrayIs holds the short way for rows of numbers to what the decoder makes of the same text, also where that is none.
func TestARowIsReadAsAnyArrayIs(t *testing.T) {
	element := rapid.OneOf(
		rapid.SampledFrom([]string{"null", "0", "-0", "-1.5", "1e3", "1E-2", "0.0625", "1e999", "5e-324", "123456789012345678901234567890", "true", `"1"`, `","`,
			"[1]", "[]", "{}", `{"a":1,"b":2}`, "", "-", "01", "0x1", "+1", "NaN", "Infinity", "1_0", "nul", ".5", "5."}),
		rapid.Map(rapid.Float64(), func(v float64) string {
			text, _ := json.Marshal(v)
			return string(text)
		}),
	)
	rapid.Check(t, func(t *rapid.T) {
		parts := rapid.SliceOfN(element, 0, 5).Draw(t, "elements")
		doc := "[" + strings.Join(parts, rapid.SampledFrom([]string{",", ",", " , ", "\n,"}).Draw(t, "between")) + "]"
		var plainly []*float64
		var got row
		wrong, err := json.Unmarshal([]byte(doc), &plainly), json.Unmarshal([]byte(doc), &got)
		if (wrong == nil) != (err == nil) {
			t.Fatalf("%s: got %v, the decoder alone %v", doc, err, wrong)
		}
		if err == nil && !reflect.DeepEqual([]*float64(got), plainly) {
			t.Fatalf("%s: got %v, the decoder alone %v", doc, got, plainly)
		}
	})
}
