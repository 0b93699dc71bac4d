package kernel

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"tuckring/internal/store"
)

func TestPowersHoldTheOnesBefore(t *testing.T) {
	tests := []struct {
		has, needs store.Power
		want       bool
	}{
		{store.PowerView, store.PowerView, true},
		{store.PowerView, store.PowerBuild, false},
		{store.PowerView, store.PowerEdit, false},
		{store.PowerBuild, store.PowerView, true},
		{store.PowerBuild, store.PowerEdit, false},
		{store.PowerEdit, store.PowerBuild, true},
		{"", store.PowerView, false},
	}
	for _, tt := range tests {
		assert.Equal(t, tt.want, Access{Power: tt.has}.May(tt.needs), "%s for %s", tt.has, tt.needs)
	}
}
