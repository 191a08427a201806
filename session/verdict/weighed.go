package verdict

import (
	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
)

// weighedWhenFinished is the last peak at a draw since finishing began, unread where wood was scraped after it. Filing and sanding take
// weight without a word in the record, so no estimate from before them is as good.
func weighedWhenFinished(story session.Story, draw measure.Length) (peak measure.Optional[measure.Force]) {
	finishing := false
	for _, line := range story.Lines {
		if !line.Counts() {
			continue
		}
		switch what := line.Entry.What.(type) {
		case model.Finish:
			finishing = true
		case model.Scrape:
			finishing, peak = false, measure.Optional[measure.Force]{}
		case model.Pull:
			if finishing && what.Peak.Known() && session.SameDraw(what.Draw, draw) {
				peak = what.Peak
			}
		}
	}
	return peak
}
