package shop

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"bendbook/model/measure"
)

// Draft is a half-typed form as it is kept until it is finished or dropped.
type Draft struct {
	Form    string            `json:"form"`           // which form
	Begun   time.Time         `json:"begun"`          // when its first value was confirmed
	Units   measure.Units     `json:"units,omitzero"` // of bare numbers; the record's where zero
	At      string            `json:"at"`             // name of the question that was being answered
	Answers map[string]string `json:"answers"`        // by name of the question, as typed
	// Asked are doubtful answers, by name of the question; the same answer again is taken.
	Asked map[string]string `json:"asked,omitempty"`
}

// DraftKey is the key of a bow's half-typed form; bow "" stands for a bow yet to be described.
func DraftKey(bow, form string) string { return bow + "/" + form }

// halfTyped are the half-typed forms by the bow's id; of each bow the newest first.
func (s *Shop) halfTyped() (map[string][]Draft, error) {
	docs, err := s.book.Drafts()
	if err != nil {
		return nil, fmt.Errorf("looking for half-typed forms: %w", err)
	}
	drafts := make(map[string][]Draft)
	for _, key := range slices.Sorted(maps.Keys(docs)) {
		draft, ok := draftIn(docs, key)
		if bow, isOf := strings.CutSuffix(key, "/"+draft.Form); ok && isOf && draft.Form != "" {
			drafts[bow] = append(drafts[bow], draft)
		}
	}
	for _, of := range drafts {
		slices.SortStableFunc(of, func(a, b Draft) int { return b.Begun.Compare(a.Begun) })
	}
	return drafts, nil
}

// Drafts are the half-typed forms of a bow, the newest first; bow "" stands for one yet to be described.
func (s *Shop) Drafts(bow string) ([]Draft, error) {
	drafts, err := s.halfTyped()
	return drafts[bow], err
}

// Draft is the half-typed form kept under key; ok is false where there is none.
func (s *Shop) Draft(key string) (draft Draft, ok bool, err error) {
	docs, err := s.book.Drafts()
	draft, ok = draftIn(docs, key)
	return draft, ok, err
}

// draftIn reads a draft. One that another version wrote and this can't read is none.
func draftIn(docs map[string][]byte, key string) (draft Draft, ok bool) {
	if json.Unmarshal(docs[key], &draft) != nil {
		return Draft{}, false
	}
	return draft, true
}

// SaveDraft keeps a half-typed form under key: on disk when it returns.
func (s *Shop) SaveDraft(key string, draft Draft) error {
	doc, err := json.Marshal(draft)
	if err == nil {
		err = s.book.SaveDraft(key, doc)
	}
	if err != nil {
		return fmt.Errorf("keeping the draft: %w", err)
	}
	return nil
}
