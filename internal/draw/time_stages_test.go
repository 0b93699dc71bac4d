package draw

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"tuckring/internal/pace"
	"tuckring/internal/words"
)

func TestStagesNameEachStageAndTheHours(t *testing.T) {
	d := Stages([]Stage{{pace.Cutting, pace.Range{Low: 10, Best: 20, High: 30}}, {pace.Folding, pace.Range{Low: 60, Best: 100, High: 200}}}, 170, words.English)
	got := texts(d)
	assert.Contains(t, got, "Cutting")
	assert.Contains(t, got, "Folding")
	assert.Contains(t, got, "3 h", "20 + 200 minutes are 3 h 40")
	assert.NotContains(t, got, "4 h")
}

func TestStagesOfNothing(t *testing.T) {
	assert.Empty(t, texts(Stages([]Stage{{Task: pace.Cutting}}, 170, words.English)))
}
