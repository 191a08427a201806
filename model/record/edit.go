package record

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"

	jsonpatch "github.com/evanphx/json-patch/v5"

	"bendbook/model"
)

// Edited is the description after an edit. The error is a *model.FieldError where the result isn't a bow.
func (d Description) Edited(edit model.Edit) (Description, error) {
	if !isObject(edit.Set) || !json.Valid(edit.Set) {
		return d, model.Fault("", "give an object with the fields that change")
	}
	edited, err := ParseDescription(mergePatch(d.Doc, edit.Set), d.Bow.Units)
	if err != nil {
		return d, err
	}
	if edited.Bow.ID != d.Bow.ID {
		return d, model.Fault("id", "a bow keeps its id")
	}
	edited.Extra = d.Extra
	return edited, nil
}

// mostEditing is how many bytes of description the edits of one record may write: each writes the whole one.
// An honest record stays far below; a hostile one could keep its reader waiting for hours.
const mostEditing = 128 << 20

// checkEdit checks the types of an edit's fields and reports whether it changes the bow's size. Whether the
// result is a bow depends on earlier edits; an edit that leaves none has no effect.
func (d Description) checkEdit(edit model.Edit) (resizes bool, err error) {
	var set model.Bow
	c := reader(edit.Set, d.Bow.Units)
	c.partial = true
	c.bow(&set)
	_, limbs := c.fields["limbs"]
	_, handle := c.fields["handle"]
	if _, id := c.fields["id"]; id && set.ID != d.Bow.ID {
		c.fail("id", "a bow keeps its id")
	}
	return limbs || handle, c.err
}

// EditTo is the edit that turns this description into that of bow; fields of unknown meaning, the units and
// the bow's id stay. ok is false where nothing changes.
func (d Description) EditTo(bow model.Bow) (edit model.Edit, ok bool, err error) {
	bow.ID, bow.Units = d.Bow.ID, d.Bow.Units
	before, errBefore := Describe(d.Bow)
	after, errAfter := Describe(bow)
	if err := cmp.Or(errBefore, errAfter); err != nil {
		return model.Edit{}, false, err
	}
	set, err := jsonpatch.CreateMergePatch(before.Doc, after.Doc)
	if err != nil {
		return model.Edit{}, false, fmt.Errorf("comparing the bow's descriptions: %w", err)
	}
	return model.Edit{Set: set}, string(set) != "{}", nil
}

// mergePatch applies a merge patch (RFC 7396) to a document. Fields keep their order, new ones come last in
// the order of the patch, and what the patch doesn't touch keeps its text. Both must be valid JSON.
func mergePatch(doc, patch json.RawMessage) json.RawMessage {
	if !isObject(patch) {
		return patch
	}
	var fields []member
	if isObject(doc) {
		fields = members(doc)
	}
	for _, change := range members(patch) {
		at := slices.IndexFunc(fields, func(m member) bool { return m.name == change.name })
		switch {
		case string(change.value) != "null" && at < 0:
			fields = append(fields, member{change.name, mergePatch(nil, change.value)})
		case string(change.value) != "null":
			fields[at].value = mergePatch(fields[at].value, change.value)
		case at >= 0:
			fields = slices.Delete(fields, at, at+1)
		}
	}
	return object(fields)
}
