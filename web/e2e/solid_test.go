package e2e_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/solid/solidtest"
	"tuckring/web/e2e"
)

// A maker has a model of an owl: opened on the phone it stands over the figure that it becomes, which follows what is changed, and
// is taken with its ears.
func TestMakerBeginsWithASolid(t *testing.T) {
	file := filepath.Join(t.TempDir(), "Watch owl.ply")
	require.NoError(t, os.WriteFile(file, solidtest.Owl().PLY("binary_little_endian"), 0o600))
	app := e2e.Start(t)
	maker := app.Phone(t)
	maker.Open("/new?begin=solid")
	maker.FitsWidth()
	maker.CheckAccess()
	maker.Upload("Solid", file)
	maker.Press("Open")
	shows := func(query string) {
		maker.Until("it stands in 3D", "document.querySelector('#solid-view')?.dataset.shows?.includes('"+query+"')")
	}
	shows("height=25")
	assert.Equal(t, "Watch owl", maker.Field("Title"))
	maker.Sees("mm on average")
	maker.FitsWidth()
	maker.CheckAccess()
	maker.View("solid")
	maker.Fill("Height", "1.5")
	maker.Until("nothing is shown where there is no figure", "document.querySelector('#solid-view').hidden && document.querySelector('#solid-result .notice')")
	maker.Fill("Height", "25")
	maker.Until("it stands again", "!document.querySelector('#solid-view').hidden && document.querySelector('.solid-facts')")
	before := e2e.Eval[string](maker, "document.querySelector('.solid-facts b').textContent")
	maker.Fill("Height", "18")
	shows("height=18")
	assert.NotEqual(t, before, e2e.Eval[string](maker, "document.querySelector('.solid-facts b').textContent"))
	for range 2 { // both ears
		maker.Press(e2e.Eval[string](maker, "document.querySelector('.limbs input:not(:checked) + span').textContent.trim()"))
		maker.Until("the limb is a part", "document.querySelectorAll('.limbs input:checked').length > 0 && !document.querySelector('#solid-result[aria-busy]')")
	}
	shows("limb=1")
	maker.Picture("solid-taken")
	maker.Press("Make the figure")
	maker.Until("the editor is there", "document.querySelector('.pattern.ready [role=gridcell]')")
	maker.Sees("Watch owl")
	assert.Len(t, kept(t, app, maker.Path()).Parts, 3)
	maker.View("solid-begun")
}
