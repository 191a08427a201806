package session

import (
	"cmp"
	"slices"
)

// Scraped are the stories of bows of a wood on which strokes were counted, the last worked on first, most of them at the most. Damaged bows are
// left out, and what is wrong with a book's tags comes as an error only where nothing can be told.
func (s *Shop) Scraped(wood string, most int) ([]Story, error) {
	tags, err := s.tags()
	if len(tags) == 0 && err != nil {
		return nil, err
	}
	kind := KindOfWood(wood)
	tags = slices.DeleteFunc(tags, func(t *hung) bool {
		return t.damage != nil || t.Strokes == 0 || t.Pass == 0 || KindOfWood(t.Bow.Wood) != kind
	})
	slices.SortFunc(tags, func(a, b *hung) int {
		return cmp.Or(b.Last.Compare(a.Last), cmp.Compare(a.Bow.ID, b.Bow.ID))
	})
	var all []Story
	for _, t := range tags[:min(most, len(tags))] {
		if story, err := s.Story(t.Bow.ID); err == nil {
			all = append(all, story)
		}
	}
	return all, nil
}
