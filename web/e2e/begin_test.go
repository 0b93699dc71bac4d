package e2e_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"tuckring/web/e2e"
)

// A figure is begun through each door on a phone: the pages fit, can be read by everybody, and lead to the editor.
func TestMakerBeginsThroughEveryDoor(t *testing.T) {
	file := emblem(t)
	app := e2e.Start(t)
	app.KeepDemo(t)
	maker := app.Phone(t)
	begin := func(door string) {
		maker.Open("/")
		maker.Press("New figure")
		maker.Press(door)
		maker.Until("the door is open", "document.querySelector('.door[aria-current]')?.textContent.trim() === '"+door+"'")
		maker.FitsWidth()
		maker.CheckAccess()
		maker.Picture("door-" + door)
	}
	made := func(title string) {
		maker.Until("the editor is there", "document.querySelector('.pattern.ready [role=gridcell]')")
		maker.Sees(title)
	}
	begin("A shape")
	maker.Fill("Title", "Watch owl")
	maker.Press("Round like an owl")
	maker.Fill("Units in the widest ring", "20")
	maker.Press("Make the figure")
	made("Watch owl")

	begin("A size")
	maker.Fill("Title", "Harbour bell")
	maker.Press("Bell")
	maker.Press("Find ways")
	maker.Until("ways are found", "document.querySelectorAll('.way').length === 3")
	maker.FitsWidth()
	maker.CheckAccess()
	maker.Picture("door-ways")
	maker.Press(e2e.Eval[string](maker, "document.querySelector('.way button').textContent.trim()"))
	made("Harbour bell")

	begin("A copy")
	maker.Press("Puffin on the quay")
	maker.Press("Make a copy")
	made("Puffin on the quay, copy")

	begin("A picture")
	maker.Fill("Title", "Lighthouse emblem")
	maker.Upload("Picture", file)
	maker.Press("Make the figure")
	made("Lighthouse emblem")
	maker.View("begun-picture")
	assert.LessOrEqual(t, len(kept(t, app, maker.Path()).Colours), 5)
}
