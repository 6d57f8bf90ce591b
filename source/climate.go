package source

// climate lists what stands behind sun, light, reference water use, climate
// files, frost dates, and the warmth and oxygen of the solution.
func climate() []Entry {
	return []Entry{
		{ID: "fao56", Author: "Allen, R.G., Pereira, L.S., Raes, D. & Smith, M.", Title: "Crop evapotranspiration, FAO Irrigation and Drainage Paper 56", Year: "1998", Where: "equations 6 to 52, annex 2, tables 11, 12, 17", Note: "equations from memory, worked examples and tables read second-hand and reproduced"},
		{ID: "faust2018", Author: "Faust, J.E. & Logan, J.", Title: "Daily light integral: a research review and high-resolution maps of the United States", Year: "2018", Where: "HortScience 53:1250-1257", Note: "abstract read: 0.007265 mol/Wh = 45 % PAR x 4.48 µmol/J"},
		{ID: "thimijan1983", Author: "Thimijan, R.W. & Heins, R.D.", Title: "Photometric, radiometric, and quantum light units of measure", Year: "1983", Where: "HortScience 18:818-822", Note: "4.57 µmol/J from memory"},
		{ID: "korczynski2002", Author: "Korczynski, P.C., Logan, J. & Faust, J.E.", Title: "Mapping monthly distribution of daily light integrals across the contiguous United States", Year: "2002", Where: "HortTechnology 12:12-16", Note: "values from memory"},
		{ID: "collares1979", Author: "Collares-Pereira, M. & Rabl, A.", Title: "The average distribution of solar radiation", Year: "1979", Where: "Solar Energy 22:155-164", Note: "equation from memory"},
		{ID: "parton1981", Author: "Parton, W.J. & Logan, J.A.", Title: "A model for diurnal variation in soil and air temperature", Year: "1981", Where: "Agric. Meteorol. 23:205-216", Note: "equation from memory"},
		{ID: "goodin1999", Author: "Goodin, D.G. et al.; Weiss, A. et al.", Title: "Estimating solar radiation from temperature", Year: "1999, 2001", Where: "Agron. J. 91:845, 93:1321", Note: "abstracts read"},
		{ID: "station-check", Title: "Error of monthly radiation estimates against 135 station records", Standing: Own, Note: "k 0.16: bias +0.3, rms 2.0 MJ/m2/day (13 %)"},
		{ID: "covers", Title: "Light through covers, frame and dirt included", Standing: Memory, Note: "ranges of teaching texts"},
		{ID: "noaa-normals", Author: "NOAA National Centers for Environmental Information", Title: "US Climate Normals 1991-2020", Year: "2021", Where: "monthly normals by station; freeze dates in the annual normals", Note: "layout and two stations read"},
		{ID: "cligen", Author: "USDA Agricultural Research Service; Fullhart, A.T. et al.", Title: "Station statistics of the CLIGEN weather generator; Presenting a database of international stations", Year: "2015, 2021", Where: "Earth Syst. Sci. Data 13:435-451", Note: "the US station files (a work of the US government) are carried, packed; of the international set only the layout is read"},
		{ID: "gazetteer", Author: "US Census Bureau", Title: "Gazetteer Files: ZIP code tabulation areas, counties, places and county subdivisions", Year: "2022", Note: "public domain (17 USC 105); middles of areas, as carried by a Debian package"},
		{ID: "freeze-method", Title: "Chance of a freeze from the mean and the day-to-day spread of the minimum", Standing: Own, Note: "against published freeze dates: 4 days at 50 %, up to 11 at 10 %"},
		{ID: "spread-fit", Title: "Day-to-day spread of the minimum, fitted on 135 station records", Standing: Own, Note: "sd = 3.2 - 0.10 Tmin + 0.074 (warmest less coldest month), rms 0.8 °C"},
		{ID: "amiri2018", Author: "Amiri, M.J. et al.; Fernandez, M.D. et al.", Title: "Reference water use inside plastic and glass houses", Year: "2018, 2010", Note: "abstracts read: about 65 % of outdoors"},
		{ID: "open-sea", Title: "Rectangles of open sea without land", Standing: Memory, Note: "only sure sea is listed; a place outside them may be at sea too"},
		{ID: "hillel1982", Author: "Hillel, D.", Title: "Introduction to Soil Physics", Year: "1982", Where: "chapter on soil temperature: damped wave, thermal diffusivity", Note: "equation from memory; 0.05 to 0.08 m2 a day in moist loam"},
		{ID: "swinbank1963", Author: "Swinbank, W.C.", Title: "Long-wave radiation from clear skies", Year: "1963", Where: "Q. J. R. Meteorol. Soc. 89:339-348", Note: "equation from memory"},
		{ID: "ashrae", Author: "ASHRAE", Title: "Handbook: Fundamentals (resistances, films); HVAC Applications (evaporation from pools)", Note: "values from memory"},
		{ID: "c578", Author: "ASTM", Title: "C578, Standard specification for rigid, cellular polystyrene thermal insulation", Year: "2007", Where: "least resistance by type at 75 F", Note: "XPS read in a maker's table, EPS from memory"},
		{ID: "lamps", Title: "Light of a lamp for each joule", Standing: Memory, Note: "white LED lamps 2 to 2.8 micromoles a joule at the plug"},
		{ID: "lump", Title: "One-lump heat balance of a raft bed", Standing: Own, Note: "no published hour-by-hour record of a raft pool was found; ±2 °C"},
		{ID: "water-heat", Title: "Heat capacity and density of water, heat of melting and of evaporation", Standing: Memory, Note: "textbook values"},
		{ID: "solution-limits", Title: "Limits of solution temperature for leaf crops: 16 to 24 °C fine, above 23 watch, above 26 act, below 10 slow", Standing: Own, Note: "drawn from bates1984, a trade guide and root-zone trials"},
		{ID: "goto1996", Author: "Goto, E. et al.; Yoshida, S., Kitano, M. & Eguchi, H.", Title: "Effect of dissolved oxygen concentration on lettuce growth in floating hydroponics", Year: "1996, 1997", Where: "Acta Hort. 440:205-210", Note: "abstracts read"},
		{ID: "root-oxygen", Title: "Oxygen taken up by roots: 0.25 mg a gram fresh root an hour at 22 °C, doubling each 10 °C", Standing: Memory, Note: "20 to 60 nmol a gram dry a second is typical of young roots"},
		{ID: "cole1998", Author: "Cole, J.J. & Caraco, N.F.", Title: "Atmospheric exchange of carbon dioxide in a low-wind lake", Year: "1998", Where: "Limnol. Oceanogr. 43:647-656", Note: "equation from memory"},
		{ID: "aeration", Title: "Transfer of oxygen by bubbles: 2 % a foot of depth from fine, 0.75 % from coarse stones, 0.7 of it in the field", Standing: Memory, Note: "values of waste water texts"},
	}
}
