package source

func rafts() []Entry {
	return []Entry{
		{ID: "astm.c578", Author: "ASTM International", Title: "Standard Specification for Rigid, Cellular Polystyrene Thermal Insulation, C578-10", Year: "2010", Where: "table 1",
			Note: "SI values, uptake of XPS and thermal resistance as tabled in a maker's technical bulletin of 2011 to C578-10 (whole table read); uptake of EPS from a producer sheet to C578-92"},
		{ID: "archimedes", Author: "Archimedes", Title: "Archimedes' principle, fresh water at 1000 kg/m3", Where: "any text on hydrostatics"},
		{ID: "oler1961", Author: "Oler, N.", Title: "An inequality in the geometry of numbers, Acta Math. 105:19-48", Year: "1961", Note: "the inequality from memory"},
		{ID: "graham1998", Author: "Graham, R.L., Lubachevsky, B.D., Nurmela, K.J. & Ostergard, P.R.J.", Title: "Dense packings of congruent circles in a circle, Discrete Math. 181:139-154",
			Year: "1998", Note: "abstract read; ratios second-hand"},
		{ID: "lubachevsky1997", Author: "Lubachevsky, B.D. & Graham, R.L.", Title: "Curved hexagonal packings of equal disks in a circle, Discrete Comput. Geom. 18:179-194", Year: "1997",
			Note: "ratios of 7, 19, 37 and 61 circles read"},
		{ID: "niosh1994", Author: "Waters, T.R., Putz-Anderson, V. & Garg, A., NIOSH", Title: "Applications manual for the revised NIOSH lifting equation, publication 94-110", Year: "1994",
			Note: "equation read, multiplier of asymmetry from memory"},
		{ID: "cfr177.1640", Author: "US Food and Drug Administration", Title: "21 CFR 177.1640, Polystyrene and rubber-modified polystyrene", Note: "limits of residual styrene read in part, in part from memory"},
		{ID: "airgap2009", Author: "Kratky, B.A.", Title: "Three non-circulating hydroponic methods for growing lettuce, Acta Hort. 843:65-72", Year: "2009",
			Note: "abstract read; the raft that comes to rest on supports from memory"},
		{ID: "foam.safety", Title: "Cutting foam: dust irritates eyes, skin and lungs; a hot wire gives off styrene", Standing: Practice, Note: "irritation and fume read in a school risk note; knife or hole saw preferred by common practice"},
	}
}
