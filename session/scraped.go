package session

import (
	"cmp"
	"slices"
)

// UsualTool is what is taken for the tool before any was named, as a record has it.
const UsualTool = "scraper"

// Scraped are the stories of bows of a wood on which strokes were counted, the last worked on first, most of them at the most. Damaged bows are
// left out, and what is wrong with a book's tags comes as an error only where nothing can be told.
func (s *Shop) Scraped(wood string, most int) ([]Story, error) {
	tags, err := s.tagsSoFar()
	if len(tags) == 0 && err != nil {
		return nil, err
	}
	kind := KindOfWood(wood)
	tags = slices.DeleteFunc(tags, func(h *hung) bool {
		if h.damage != nil {
			return true
		}
		t, _, _ := tagHead(h.doc)
		return t.Strokes == 0 || t.Pass == 0 || KindOfWood(t.Bow.Wood) != kind
	})
	slices.SortFunc(tags, func(a, b *hung) int { return cmp.Or(b.last.Compare(a.last), cmp.Compare(a.id, b.id)) })
	var all []Story
	for _, t := range tags[:min(most, len(tags))] {
		if story, err := s.Story(t.id); err == nil {
			all = append(all, story)
		}
	}
	return all, nil
}
