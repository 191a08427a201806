package verdict

import (
	"slices"

	"bendbook/model"
	"bendbook/model/plan"
	"bendbook/session"
)

// count adds the scrapings of a story of which strokes were counted and the limb's depth is known, with what
// the readings after them show came off. A pass that could not be folded tells nothing.
func count(story session.Story, bow int, scraped map[Tool][]plan.Scraped) {
	state, err := bowOf(story).Prior()
	if err != nil {
		return
	}
	for i, p := range passesBefore(story, "", nil) {
		next, err := state.Fold(p)
		state = next
		if err != nil {
			continue
		}
		removed := state.Removed()
		scrapes := slices.DeleteFunc(slices.Clone(story.Passes[i].Scrapes), model.Scrape.TookNothing)
		for k, s := range scrapes[:min(len(scrapes), len(removed))] {
			strokes := s.Strokes.Or(0)
			if strokes <= 0 || s.Face != "" || s.Depth.Known() || s.DepthShare.Known() {
				continue
			}
			if depth, known := removed[k].SeenDepth(state.Bow()); known {
				tool := toolOn(s.Tool, story.Bow().Wood)
				scraped[tool] = append(scraped[tool], plan.Scraped{Bow: bow, Strokes: strokes, Depth: depth})
			}
		}
	}
}

// LearnStrokes is what a shop's strokes take, by the stories of its bows; empty, and not nil, where they tell
// nothing.
func LearnStrokes(stories []session.Story) Strokes {
	scraped := map[Tool][]plan.Scraped{}
	for i, story := range stories {
		count(story, i, scraped)
	}
	strokes := Strokes{}
	for tool, all := range scraped {
		strokes[tool] = plan.Learn(all)
	}
	return strokes
}
