package verdict_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"bendbook/model"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/session/verdict"
)

// From the last pull to the hand-over the verdict is about the next stage, or what it waits for, and nothing else.
func TestFinishingIsToldStageByStage(t *testing.T) {
	t.Parallel()
	w := tillered(t).drawOn()
	w.bow.Number = "7"
	now := func() (verdict.Advice, verdict.Finishing, verdict.Verdict) {
		a := w.says(verdict.Usual())
		f := finishing(a, w.now())
		return a, f, a.Judge(f)
	}
	var told []string
	for range 40 {
		a, f, v := now()
		told = append(told, v.Word)
		if v.Rule == "handed over" {
			break
		}
		if len(told) > 1 {
			w.checkFinishing(a, v)
		}
		if v.Do != verdict.Finish {
			t.Fatalf("after %q the verdict is %+v", told, v)
		}
		stage := f.Progress.Stages[f.Progress.At]
		switch {
		case v.Word == "DRYING":
			w.later += 24 * time.Hour
		case stage.Seen == finish.SignWeighed:
			w.add(model.Pull{Draw: measure.Length(w.stave.Draw), Peak: pounds(w.stave.Weight - 1),
				From: model.FromLine})
		default:
			step := f.StepOf(f.Progress.At)
			if doubt := f.Doubt(stage); doubt != "" {
				t.Errorf("asked to %q, it doubts: %s", v.Say, doubt)
			}
			w.add(step)
		}
	}
	want := []string{"MAKE STRING", "SHOOT IN", "FILE", "SMOOTH", "SAND 80", "SAND 120", "SAND 240", "WEIGH", "MARK",
		"HANDLE", "VARNISH 1", "DRYING", "VARNISH 2", "DRYING", "LEATHER", "POLISH", "STRING", "HAND OVER",
		"HANDED OVER"}
	if !slices.Equal(told, want) {
		t.Errorf("told in turn\n%q\nwant\n%q", told, want)
	}
	// A bow that is away has no other verdict, whatever is logged of it.
	w.add(model.Scrape{Limb: model.Upper, From: 4, To: 8}, model.Pull{Draw: 12, From: model.FromLine})
	if _, _, v := now(); v.Do != verdict.None || v.Rule != "handed over" {
		t.Errorf("handed over, the verdict is %+v", v)
	}
}

// checkFinishing takes a verdict in finishing: nothing of tillering may stand in it or in its document.
func (w *tree) checkFinishing(a verdict.Advice, v verdict.Verdict) {
	w.t.Helper()
	if v.Rule != "finishing" || v.Draw.Known() || v.Stretch.Known() {
		w.t.Errorf("in finishing the verdict is %+v", v)
	}
	for _, word := range []string{" lb", "limb", "xercise", "draw", "stiff", "weak", "even", "stop"} {
		if strings.Contains(v.Say+v.Why, word) && v.Word != "WEIGH" && v.Word != "MARK" {
			w.t.Errorf("%q stands in %q, %q", word, v.Say, v.Why)
		}
	}
	var doc struct {
		Next_pull any
		Removal   []any
		Done      bool
	}
	written(w.t, a, v, &doc)
	if doc.Next_pull != nil || len(doc.Removal) > 0 || !doc.Done {
		w.t.Errorf("in finishing the document has %+v", doc)
	}
}
