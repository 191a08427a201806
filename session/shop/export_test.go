package shop

import (
	"bendbook/model"
	"bendbook/session"
)

// Like is the finished bow that another is to bend like.
func (s *Shop) Like(bow model.Bow) (session.Story, bool, error) { return s.like(bow) }

// Scraped are the stories that teach what a stroke takes.
func (s *Shop) Scraped(wood string, most int) ([]session.Story, error) { return s.scraped(wood, most) }
