package paper

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tuckring/internal/figure"
)

func TestClassOfTwentyFoldsTwentyUnitsEach(t *testing.T) {
	// Published class example: 20 folders × 20 units = 400, origami-resource-center.com, swan.
	kits, err := Kits([]Lot{{"chalk", 400}}, 20)
	require.NoError(t, err)
	require.Len(t, kits, 20)
	for i, k := range kits {
		assert.Equal(t, Kit{Number: i + 1, Units: 20, Lots: []Lot{{"chalk", 20}}}, k)
	}
}

func TestColoursThatComeOutEvenAreNotMixed(t *testing.T) {
	// 4 kits of 10: soot is one kit, brick two, and chalk one: no kit needs two colours.
	kits, err := Kits([]Lot{{"brick", 20}, {"soot", 10}, {"chalk", 10}}, 4)
	require.NoError(t, err)
	for _, k := range kits {
		assert.Len(t, k.Lots, 1)
	}
	// 3 kits of 10: 13 + 7 fill two, 10 one.
	kits, err = Kits([]Lot{{"brick", 13}, {"soot", 10}, {"chalk", 7}}, 3)
	require.NoError(t, err)
	assert.Equal(t, 4, lotsOf(kits))
}

func TestMorePeopleThanUnits(t *testing.T) {
	kits, err := Kits([]Lot{{"brick", 2}}, 4)
	require.NoError(t, err)
	assert.Equal(t, []Kit{{1, 1, []Lot{{"brick", 1}}}, {2, 1, []Lot{{"brick", 1}}}, {3, 0, nil}, {4, 0, nil}}, kits)
}

func lotsOf(kits []Kit) int {
	n := 0
	for _, k := range kits {
		n += len(k.Lots)
	}
	return n
}

func TestKitsAreEvenAndHaveFewLots(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		people := rapid.IntRange(1, 60).Draw(t, "people")
		units := rapid.SliceOfN(rapid.IntRange(0, 400), 0, 12).Draw(t, "units")
		var lots []Lot
		total := 0
		for i, n := range units {
			lots = append(lots, Lot{string(rune('a' + i)), n})
			total += n
		}
		kits, err := Kits(lots, people)
		if err != nil {
			t.Fatal(err)
		}
		dealt := map[string]int{}
		for i, k := range kits {
			sum := 0
			for _, l := range k.Lots {
				dealt[l.Colour] += l.Units
				sum += l.Units
			}
			if sum != k.Units || k.Number != i+1 || k.Units < total/people || k.Units > total/people+1 {
				t.Fatalf("kit %+v of %d units among %d", k, total, people)
			}
		}
		if len(kits) != people || total > 0 && lotsOf(kits) > people+len(lots)-1 {
			t.Fatalf("%d kits with %d lots for %d people and %d colours", len(kits), lotsOf(kits), people, len(lots))
		}
		for _, l := range lots {
			if dealt[l.Colour] != l.Units {
				t.Fatalf("%d of %d units of %s dealt", dealt[l.Colour], l.Units, l.Colour)
			}
		}
	})
}

func TestSharingAmongNobodyIsRefused(t *testing.T) {
	for _, people := range []int{0, -3, MaxPeople + 1} {
		_, err := Kits([]Lot{{"brick", 10}}, people)
		var f figure.Fault
		require.ErrorAs(t, err, &f)
		assert.Equal(t, "people", f.Where)
		assert.Contains(t, f.Error(), "1 to 1000")
	}
	_, err := Kits([]Lot{{"brick", -1}}, 3)
	assert.ErrorContains(t, err, "units")
}
