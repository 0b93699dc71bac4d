package wire

import (
	"time"

	"tuckring/internal/figure"
	"tuckring/internal/live"
	"tuckring/internal/paper"
	"tuckring/internal/picture"
	"tuckring/internal/shape"
	"tuckring/internal/sight"
)

// Limits of one request for edits. Steps that waited for a lost connection come in several requests.
const (
	MaxSteps      = 1000
	MaxPersonName = 40 // characters of a person's name
)

// AliveEvery is how often a stream of events says that it still stands, when nothing happens.
const AliveEvery = 15 * time.Second

// SceneHead is how many bytes lead the standing figure: the length of its scene, little-endian.
const SceneHead = 4

// Constant is a value that the page knows too.
type Constant struct {
	Name  string // in TypeScript
	Value any
	About string
}

// Constants are all of them. Nowhere else in the browser's code does a limit stand as a bare number.
var Constants = []Constant{
	{"MAX_RINGS", figure.MaxRings, "Rings in a figure, at most."},
	{"MIN_UNITS", figure.MinUnits, "Units in a ring, at least."},
	{"MAX_UNITS", figure.MaxUnits, "Units in a ring, at most."},
	{"MAX_ALL_UNITS", figure.MaxAllUnits, "Units in a figure, at most."},
	{"MAX_COLOURS", figure.MaxColours, "Papers in a figure, at most."},
	{"MAX_EXTRAS", figure.MaxExtras, "Extras of a figure, at most."},
	{"MAX_PARTS", figure.MaxParts, "Parts of a figure, at most."},
	{"MAX_BEND", figure.MaxBend, "Degrees that a row is bent against the one below, at most, either way."},
	{"MAX_TILT", figure.MaxTilt, "Degrees that a part which is set on is tilted, at most, either way."},
	{"MIN_TAKES", figure.MinTakes, "Points that a unit takes, at least."},
	{"MAX_TAKES", figure.MaxTakes, "Points that a unit takes, at most."},
	{"MAX_PICTURE_PIXELS", MaxPicturePixels, "Pixels of a picture that is laid over the grid, at most."},
	{"MAX_SHEETS", picture.MaxSheets, "Sheets that are read from a photo, at most."},
	{"MAX_TIMES", picture.MaxTimes, "How often a picture is repeated around, at most."},
	{"PLAIN_TAKES", figure.PlainTakes, "Points that a plain unit takes."},
	{"MAX_TITLE", figure.MaxTitle, "Characters of a title, at most."},
	{"MAX_NAME", figure.MaxName, "Characters of a paper's or extra's name, at most."},
	{"MAX_NOTE", figure.MaxNote, "Characters of a note, at most."},
	{"MIN_UNIT_MM", figure.MinUnitMM, "Side of a unit's paper in mm, at least."},
	{"MAX_UNIT_MM", figure.MaxUnitMM, "Side of a unit's paper in mm, at most."},
	{"MAX_EXTRA_MM", figure.MaxExtraMM, "Measures of a glued piece in mm, at most."},
	{"MAX_EXTRA_UNITS", figure.MaxExtraUnits, "Units of a tucked extra, at most."},
	{"MAX_PERSON_NAME", MaxPersonName, "Characters of a person's name, at most."},
	{"MAX_EDITS", figure.MaxEdits, "Edits in a batch, at most."},
	{"MAX_STEPS", MaxSteps, "Steps in one request, at most."},
	{"ALL_SIGNS", figure.AllSigns, "The signs that a paper may have, one character each."},
	{"TINTS", live.Tints, "Tints that tell people apart: 0 to one less."},
	{"ALIVE_MS", AliveEvery.Milliseconds(), "A stream of events says at least so often that it still stands."},
	{"AWAY_MS", live.Away.Milliseconds(), "After so long without word a person who does not watch counts as gone."},
	{"CELL_LETTERS", CellLetters, "What stands for a colour in the cells of a ring, by its place in the palette."},
	{"EDGES_IN_TURN", EdgesInTurn, "The parts of a turn in which edges are told."},
	{"LEFT_LEAF", shape.LeftLeaf, "First number of a facet: the left leaf of a tucked unit."},
	{"FLAT_PIECE", shape.FlatPiece, "First number of a facet: a glued piece."},
	{"RIGHT_LEAF", shape.RightLeaf, "First number of a facet: the right leaf of a tucked unit."},
	{"SOLID_NUMBERS", solidNumbers, "Numbers of a corner of a look's solid facets: along the wall, up, and out of it."},
	{"FLAT_NUMBERS", flatNumbers, "Numbers of a corner of a look's flat facets: along the wall and up."},
	{"RISE_PER_PITCH", shape.RisePerPitch, "Height of a ring in widths of a plain unit (from memory)."},
	{"MM_PER_INCH", paper.MMPerInch, "An inch in mm."},
	{"SCENE_HEAD", SceneHead, "Bytes before the scene of the standing figure: its length, little-endian."},
	{"STRIDE", shape.Stride, "How many numbers (float32, little-endian) each unit of the standing figure has."},
	{"AT_X", shape.AtX, "Where x stands among them, in mm."},
	{"AT_Y", shape.AtY, "Where y stands, in mm."},
	{"AT_Z", shape.AtZ, "Where z stands, in mm."},
	{"AT_YAW", shape.AtYaw, "Where yaw stands, in radians."},
	{"AT_TILT", shape.AtTilt, "Where tilt stands, in radians."},
	{"AT_AZIMUTH", shape.AtAzimuth, "Where the direction from the frame's axis stands, in radians."},
	{"AT_FRAME", shape.AtFrame, "Where the index of the frame stands."},
	{"AT_COLOUR", shape.AtColour, "Where the place in the palette stands."},
	{"LIGHT_INK_BELOW", sight.LightInkBelow, "Signs are light on papers whose relative luminance is below this."},
	{"DARK_INK", sight.DarkInk, "Signs on light papers."},
	{"LIGHT_INK", sight.LightInk, "Signs on dark papers."},
	{"EDGE_ON_DARK_BELOW", sight.EdgeOnDarkBelow, "Outlines are light on papers whose relative luminance is below this."},
	{"EDGE", sight.Edge, "Outlines on light papers."},
	{"EDGE_ON_DARK", sight.EdgeOnDark, "Outlines on dark papers."},
}
