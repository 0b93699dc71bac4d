package fold

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"tuckring/internal/words"
)

func TestUsualSizesCanBeFolded(t *testing.T) {
	for _, u := range UsualSizes {
		assert.Empty(t, u.Unit.Validate(), u.Key)
		assert.True(t, Of(u.Unit).Foldable(), u.Key)
		assert.False(t, strings.HasPrefix(words.English.T("fold.usual."+u.Key), "["), u.Key)
		found, ok := UsualByKey(u.Key)
		assert.True(t, ok && found == u.Unit, u.Key)
	}
}
