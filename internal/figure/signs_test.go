package figure

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestSignsAreTheFirstFreeLetterOfTheName(t *testing.T) {
	f := &Figure{Colours: []Colour{{Name: "Brick red"}, {Name: "Blue"}, {Name: "Bone"}, {Name: "灯"}}}
	assert.Equal(t, []string{"B", "L", "O", "A"}, f.Signs())
	f.Colours = make([]Colour, MaxColours)
	seen := map[string]bool{}
	for _, s := range f.Signs() {
		seen[s] = true
	}
	assert.Len(t, seen, MaxColours)
}

// Black is K in print (the key plate of CMYK, ISO 12647), though B is its first letter.
func TestAChosenSignIsTheColoursOwn(t *testing.T) {
	f := &Figure{Colours: []Colour{{ID: "a", Name: "Kelp"}, {ID: "b", Name: "Black", Sign: "K"}, {ID: "c", Name: "Blue"}}}
	assert.Equal(t, []string{"E", "K", "B"}, f.Signs(), "kelp comes first, and yet leaves K to black")
}

func TestSignsAreToldApartWhateverIsChosen(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := &Figure{}
		free := []rune(AllSigns)
		for i := range rapid.IntRange(1, MaxColours).Draw(t, "colours") {
			c := Colour{ID: string(rune('a' + i)), Name: rapid.SampledFrom([]string{"Soot", "Sea", "灯", "K"}).Draw(t, "name")}
			if rapid.Bool().Draw(t, "chosen") {
				k := rapid.IntRange(0, len(free)-1).Draw(t, "sign")
				c.Sign = string(free[k])
				free = append(free[:k], free[k+1:]...)
			}
			f.Colours = append(f.Colours, c)
		}
		seen := map[string]bool{}
		for i, s := range f.Signs() {
			require.Len(t, s, 1)
			require.False(t, seen[s], "%q stands twice", s)
			seen[s] = true
			if chosen := f.Colours[i].Sign; chosen != "" {
				require.Equal(t, chosen, s)
			}
		}
	})
}

func TestEverySignThatMayBeChosenIsOnePrintableCharacterOnce(t *testing.T) {
	assert.Greater(t, len(AllSigns), MaxColours, "some sign is always free")
	for i, c := range AllSigns {
		assert.True(t, c > ' ' && c <= '~', "%q is not printable ASCII", c)
		assert.Equal(t, i, strings.IndexRune(AllSigns, c), "%q stands twice", c)
		assert.NotContains(t, "=@-", string(c), "a spreadsheet takes a cell that begins so for a formula")
	}
}

func TestSignIsWrittenOnlyWhereOneWasChosen(t *testing.T) {
	f := load(t, "contract-example")
	old := string(f.Write())
	assert.NotContains(t, old, "sign")
	back, ch := do(t, f, &EditColour{ID: "soot", Name: "Soot", Hex: "#2b2b2e", Sign: ptr("K")})
	assert.True(t, ch.Colours)
	assert.Contains(t, string(f.Write()), `{"id": "soot", "name": "Soot", "hex": "#2b2b2e", "sign": "K"}`)
	g, err := Read(f.Write())
	require.NoError(t, err)
	assert.Equal(t, "K", g.Colours[2].Sign)
	do(t, f, back)
	assert.Equal(t, old, string(f.Write()))
}

// A log from before signs could be chosen: its edits say nothing of signs, and so leave them alone.
func TestAnOldEditOfAColourLeavesItsSign(t *testing.T) {
	f := plain(12, 3)
	do(t, f, &EditColour{ID: "brick", Name: "Brick red", Hex: "#a63a2b", Sign: ptr("K")})
	e, err := DecodeEdit([]byte(`{"do":"edit_colour","id":"brick","name":"Brick","hex":"#a63a2c"}`))
	require.NoError(t, err)
	back, _ := do(t, f, e)
	assert.Equal(t, Colour{ID: "brick", Name: "Brick", Hex: "#a63a2c", Sign: "K"}, f.Colours[0])
	assert.NotContains(t, string(EncodeEdit(back)), "sign")
}

func TestAColourComesBackWithItsSign(t *testing.T) {
	f := plain(12, 3)
	do(t, f, &EditColour{ID: "brick", Name: "Brick red", Hex: "#a63a2b", Sign: ptr("?")})
	before := f.Clone()
	back, _ := do(t, f, &RemoveColour{ID: "brick", Replace: "chalk"})
	do(t, f, back)
	identities(t, before, f)
}

func ptr(s string) *string { return &s }
