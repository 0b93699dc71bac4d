package shape

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The model opens in three's own GLTFLoader, a reader of glTF 2.0 that is not ours, with the colours of
// the document and in metres: 20 units of A9 measure 20 × 10.73 / 3.1416 = 68 mm between the points.
func TestModelOpensInThreesLoader(t *testing.T) {
	f := withExtras(t)
	p := Place(f, FromMemory(a9))
	file := filepath.Join(t.TempDir(), "figure.glb")
	out, err := os.Create(file)
	require.NoError(t, err)
	require.NoError(t, p.WriteGLB(out, f))
	require.NoError(t, out.Close())

	said, err := exec.Command("node", "../../web/client/open-model.mjs", file).CombinedOutput()
	require.NoError(t, err, "node and the packages of `make client` are needed: %s", said)
	var got struct {
		Meshes    []struct{ Name, Colour string }
		Nodes     int
		Low, High [3]float64
	}
	require.NoError(t, json.Unmarshal(said, &got), "%s", said)
	require.Len(t, got.Meshes, 3)
	assert.Equal(t, "Sand", got.Meshes[0].Name)
	assert.Equal(t, "#d9c59a", got.Meshes[0].Colour)
	assert.Equal(t, "#0b6e6e", got.Meshes[1].Colour)
	assert.LessOrEqual(t, got.Nodes, 66)
	assert.InDelta(t, 0, got.Low[1], 0.002, "it stands on the table")
	wide := got.High[0] - got.Low[0]
	assert.Greater(t, wide, 0.068)
	assert.Less(t, wide, 0.068+2*0.0185, "spines reach outwards by less than a leg")
	assert.Less(t, got.High[1], 0.15)
}
