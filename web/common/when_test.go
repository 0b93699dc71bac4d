package common_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"tuckring/web/common"
)

func TestTimesAreSaidAsAPersonWould(t *testing.T) {
	now := time.Date(2026, 11, 25, 9, 0, 0, 0, time.Local)
	assert.Equal(t, "today at 08:30", common.When(now.Add(-30*time.Minute), now).String())
	assert.Equal(t, "yesterday at 23:00", common.When(now.Add(-10*time.Hour), now).String())
	assert.Equal(t, "1 March 2026", common.When(time.Date(2026, 3, 1, 12, 0, 0, 0, time.Local), now).String())
}
