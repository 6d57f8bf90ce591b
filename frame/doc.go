// Package frame answers whether a vessel holds its water: what it carries,
// what its boards, holds and corners must bear, how its liner is cut, and what
// would mend it when it does not hold. Vessels are a rectangle of lumber with a
// liner, a round pool or tank (straight or tapered) and a rectangular tub.
//
// Methods: fluid statics with water at 62.4 lb/ft3; boards lying flat under the
// thrust of the water as beams between holds (American Wood Council, Design Aid
// No. 6, 2005); adjusted design values, creep and screws by the National Design
// Specification for Wood Construction (NDS) 2018 and its Supplement; actual
// sizes by PS 20-20; stakes by IBC 1807.3.2.1. Where a figure of NDS is known
// only second-hand or from memory, the entry in package source says so.
//
// Range: 2 by 2 ft to 8 by 40 ft inside and 3 to 14 in of water; smaller beds
// compute too, larger ones get a stop. Boards are graded dimension lumber, 2 to
// 4 in thick, in one to three courses. Nothing here certifies a structure:
// local codes and licensed practice come first.
package frame
