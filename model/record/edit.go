package record

import (
	"fmt"

	jsonpatch "github.com/evanphx/json-patch/v5"

	"bendbook/model"
)

// Edited is the description after an edit. The error is a *model.FieldError where the edit leaves no bow.
func (d Description) Edited(edit model.Edit) (Description, error) {
	if !isObject(edit.Set) {
		return d, model.Fault("", "expected an object with the fields that change")
	}
	doc, err := mergePatch(d.Doc, edit.Set)
	if err != nil {
		return d, model.Fault("", "expected an object with the fields that change (%v)", err)
	}
	edited, err := ParseDescription(doc, d.Bow.Units)
	if err != nil {
		return d, err
	}
	if edited.Bow.ID != d.Bow.ID {
		return d, model.Fault("id", "a bow keeps its id")
	}
	edited.Extra = d.Extra
	return edited, nil
}

// mostEditing is how many bytes of descriptions the edits of one record may make anew: each makes the whole
// one. An honest record stays far below; a hostile one would keep whoever reads it waiting for hours.
const mostEditing = 128 << 20

// checkEdit says whether an edit's fields have the types of a description's, and whether it changes the bow's
// size. Whether it leaves a bow depends on what was edited before; one that does not has no effect.
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

// EditTo is the edit that makes this description say what bow says, leaving alone what it does not know. ok
// is false where nothing changes. Units and the bow's id stay.
func (d Description) EditTo(bow model.Bow) (edit model.Edit, ok bool, err error) {
	bow.ID, bow.Units = d.Bow.ID, d.Bow.Units
	if err := bow.Check(); err != nil {
		return model.Edit{}, false, err
	}
	before, err := bowDocument(d.Bow)
	if err != nil {
		return model.Edit{}, false, err
	}
	after, err := bowDocument(bow)
	if err != nil {
		return model.Edit{}, false, err
	}
	set, err := jsonpatch.CreateMergePatch(before, after)
	if err != nil {
		return model.Edit{}, false, fmt.Errorf("comparing the bow's descriptions: %w", err)
	}
	return model.Edit{Set: set}, string(set) != "{}", nil
}
