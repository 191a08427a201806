package verdict_test

import (
	"encoding/json"
	"flag"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"bendbook/session/verdict"
)

var update = flag.Bool("update", false, "write the golden figures anew")

// TestFiguresStay holds forecast, estimate, findings and plan of some bows to the figures that were kept of them,
// so that code can be rewritten without changing what it says.
func TestFiguresStay(t *testing.T) {
	all := shop(t)
	path := filepath.Join("..", "..", "testdata", "golden", "figures.json")
	got := make(map[string]map[string][]float64)
	for _, name := range []string{"Ash for Wren", "Elm for Odile", "Yew for Hollis"} {
		got[name] = goldenFigures(of(t, all[name]))
	}
	if *update {
		doc, err := json.Marshal(got)
		must(t, err)
		must(t, os.WriteFile(path, append(doc, '\n'), 0o600))
	}
	doc, err := os.ReadFile(path)
	must(t, err)
	var want map[string]map[string][]float64
	must(t, json.Unmarshal(doc, &want))
	if len(want) != len(got) {
		t.Fatalf("figures of %d bows are kept, not of %d", len(want), len(got))
	}
	for name, groups := range want {
		for group, kept := range groups {
			now := got[name][group]
			if len(now) != len(kept) {
				t.Errorf("%s: %d figures of %s, %d were kept", name, len(now), group, len(kept))
				continue
			}
			for i, v := range kept {
				if !(math.Abs(now[i]-v) <= 1e-9*math.Abs(v)) {
					t.Errorf("%s: figure %d of %s is %v, %v was kept", name, i, group, now[i], v)
				}
			}
		}
	}
}

// goldenFigures are the figures of an advice that are kept.
func goldenFigures(a verdict.Advice) map[string][]float64 {
	figures := map[string][]float64{
		"weight": floats(a.Weight), "next pull": floats(a.Next), "findings": floats(a.Findings), "set": floats(a.Set), "came off": floats(a.CameOff),
	}
	for _, f := range a.Curve {
		figures["curve"] = append(figures["curve"], f.Force.Estimate)
	}
	for _, limb := range a.Limbs {
		for i := range limb.At {
			figures["bend"] = append(figures["bend"], limb.Bend[i].Estimate)
			figures["stiffness"] = append(figures["stiffness"], limb.Stiffness[i].Estimate, limb.Stiffness[i].High)
			figures["deviation"] = append(figures["deviation"], limb.Deviation[i].Low)
		}
	}
	if p, planned := a.Plan.Get(); planned {
		figures["cuts"], figures["way"] = floats(p.Cuts), floats(p.Way)
		figures["outcome"] = append(floats(p.After.Weight), p.After.ChanceUnder, p.After.ChanceOver)
	}
	return figures
}

// floats are the numbers in v, in the order of its fields.
func floats(v any) []float64 {
	all := []float64{}
	var walk func(v reflect.Value)
	walk = func(v reflect.Value) {
		switch v.Kind() {
		case reflect.Float64:
			all = append(all, v.Float())
		case reflect.Struct:
			for i := range v.NumField() {
				walk(v.Field(i))
			}
		case reflect.Slice, reflect.Array:
			for i := range v.Len() {
				walk(v.Index(i))
			}
		}
	}
	walk(reflect.ValueOf(v))
	return all
}
