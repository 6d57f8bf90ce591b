package source

// structure lists what package frame cites.
func structure() []Entry {
	return []Entry{
		{ID: "fluid-statics", Author: "any text of fluid mechanics", Title: "Hydrostatic pressure p = rho g z, thrust rho g h2/2 at h/3", Where: "water 62.4 lb/ft3", Note: "elementary; computed"},
		{ID: "ps20", Author: "NIST", Title: "American Softwood Lumber Standard, PS 20-20", Year: "2020", Where: "tables of dressed sizes", Note: "scope read; dressed sizes read in a copy, whole table"},
		{ID: "nds2018", Author: "American Wood Council", Title: "National Design Specification for Wood Construction", Year: "2018", Where: "2.3.2, 3.5.2, 4.3.1, 4.3.8, 12.2-2, 12.2.2, 12.3.1, 12.5.2, table 11.3.3", Note: "second-hand (R2); 2850 G2 D read (opening of an engineering reference, with its example of 109 lb/in); Kcr, incising, CM of screws, screw yield and root sizes from memory"},
		{ID: "nds-supplement-4a", Author: "American Wood Council", Title: "NDS Supplement, Design Values for Wood Construction", Year: "2018", Where: "table 4A and its adjustment factors", Note: "design values second-hand (R2); size factors read in NELMA, grade rules, section 8, table A (whole table); wet service factors in Merritt, Building Design and Construction Handbook, table 10.6 (whole table); specific gravities in AWC, Wood Structural Design Data, 1992 revisions (whole table)"},
		{ID: "nds-supplement-4a-memory", Title: "NDS Supplement 2018, table 4A: cedars and spruce-pine-fir (south)", Year: "2018", Standing: Memory, Note: "values from memory; specific gravity second-hand (R2)"},
		{ID: "nds-supplement-4b", Author: "American Wood Council", Title: "NDS Supplement, Design Values for Wood Construction, southern pine", Year: "2018", Where: "table 4B, values since June 2013", Note: "second-hand (R2); lowered for 2-4 in widths in June 2012 and all sizes in June 2013 (addenda read)"},
		{ID: "awc-da6", Author: "American Wood Council", Title: "Design Aid No. 6, Beam Formulas with Shear and Moment Diagrams", Year: "2005", Where: "simple and continuous spans, uniform load", Note: "figures read; coefficients from memory, two spans checked by finite elements"},
		{ID: "ibc1806", Author: "International Code Council", Title: "International Building Code, section 1806, presumptive soil values", Where: "table 1806.2, 1806.3.4", Note: "lateral bearing, sliding coefficients and the cohesion of clay read (IBC 2012 as reproduced in a handbook of geotechnical engineering, whole table); doubling second-hand (R2); bearing downwards from memory"},
		{ID: "ibc1807", Author: "International Code Council", Title: "International Building Code, section 1807, embedded posts and poles", Where: "1807.3.2.1", Note: "read"},
		{ID: "irc-r301", Author: "International Code Council", Title: "International Residential Code, live loads", Where: "table R301.5: decks and balconies 40 psf", Note: "read"},
		{ID: "pool-code", Author: "International Code Council", Title: "Residential and pool code wording on water deeper than 24 in", Where: "as adopted by states and towns", Note: "read in adopted codes"},
		{ID: "greenhouse-film", Author: "UMass Extension; UConn IPM", Title: "Plastic greenhouse film update", Where: "6 mil, UV stabilized, warranted 4 years or more; avoid construction grade", Note: "read"},
		{ID: "liner-life", Author: "a seller of sheeting", Title: "How long plain polyethylene lasts in full sun: half a year to a year", Note: "read, undated"},
		{ID: "pond-liner-life", Author: "a popular science page", Title: "How long does a pond liner last", Where: "reinforced polyethylene 20 to 40, PVC 10 to 20, rubber 20 to 30 years", Note: "opening read, undated; kept out of full sun, as under a batten and a raft"},
		{ID: "astm-d4397", Author: "ASTM International", Title: "D4397-16, polyethylene sheeting for construction, up to 10 mil", Year: "2016", Where: "scope", Note: "scope read"},
		{ID: "pond-liner-rule", Author: "several pond guides", Title: "Liner size: length + 2 depth + 2 overlap, and so across", Note: "read"},
		{ID: "francis-weir", Author: "Francis, J.B.", Title: "Sharp-crested weir, q = 1.84 b H^1.5 (SI), after Francis", Note: "an engineering examination page (opening read); a notch with two ends loses 0.2 H of its breadth, which is left out"},
	}
}
