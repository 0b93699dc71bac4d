package size_test

import (
	"encoding/json"
	"net/url"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/web/webtest"
)

// Settings that a later version of the program saved are not this version's to replace: nothing is lost when somebody
// goes back to an earlier version for a while.
func TestSettingsOfALaterVersionAreNotReplaced(t *testing.T) {
	const later = `{"sheet":"A3","people":4,"glue_g":12}`
	for _, c := range []struct {
		path string
		form url.Values
	}{
		{"/size/lengths", url.Values{"inches": {"yes"}}},
		{"/size/lengths", nil},
		{"/size/use", nil},
		{"/size/use", url.Values{"calibration": {"1"}}},
		{"/size/swatch", webtest.With(tubeOf12(), "tube_name", "Another paper")},
	} {
		s, kept := webtest.Keeping(t)
		require.Equal(t, 303, webtest.Ask(t, s, webtest.By('m', webtest.Post("/d/"+webtest.KeepTube(t, kept, 3).ID+"/size/swatch", tubeOf12()))).Code)
		d := webtest.KeepTube(t, kept, 3)
		require.NoError(t, kept.SetSettings(t.Context(), d.ID, json.RawMessage(later)))
		swatches, err := kept.Calibrations(t.Context())
		require.NoError(t, err)

		w := webtest.Ask(t, s, webtest.By('m', webtest.Post("/d/"+d.ID+c.path, c.form)))
		assert.Equal(t, 409, w.Code, "%s %v", c.path, c.form)
		page := webtest.PageText(w)
		assert.Contains(t, page, "This version cannot read the settings saved with this figure")
		assert.Contains(t, page, "Nothing was changed.")

		now, _, err := kept.Get(t.Context(), d.ID)
		require.NoError(t, err)
		assert.Equal(t, later, string(now.Settings), "%s %v", c.path, c.form)
		after, err := kept.Calibrations(t.Context())
		require.NoError(t, err)
		assert.Equal(t, swatches, after, "nor is half of it done: the swatch is not kept either")
	}
}
