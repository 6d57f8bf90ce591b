package packet

// For the tests from outside.
var (
	SideOf = sideOf
	In45   = in45
	From45 = from45
)
