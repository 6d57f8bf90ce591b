package source

func mixing() []Entry {
	return []Entry{
		{ID: "iupac2021", Author: "Prohaska, T. et al. (IUPAC)", Title: "Standard atomic weights of the elements 2021, Pure Appl. Chem. 94(5):573-600", Year: "2022", Where: "abridged standard atomic weights", Note: "five-digit values, typed from memory and checked against molar masses in the chemistry reference"},
		{ID: "mattson_peters", Author: "Mattson, N. & Peters, C.", Title: "A recipe for hydroponic success (Inside Grower)", Year: "2014", Where: "modified recipe for lettuce; sodium and chloride of source water", Note: "title page read; the recipe table from memory"},
		{ID: "brechner_both", Author: "Brechner, M. & Both, A.J.", Title: "Hydroponic Lettuce Handbook", Where: "stock solutions for ponds", Note: "cover and contents read; figures recomputed from a remembered stock table"},
		{ID: "sonneveld_straver", Author: "Sonneveld, C. & Straver, N.", Title: "Nutrient solutions for vegetables and flowers grown in water or substrates, 10th ed., Naaldwijk", Year: "1994", Where: "lettuce, water culture", Note: "from memory; the ions balance exactly"},
		{ID: "hoagland_arnon", Author: "Hoagland, D.R. & Arnon, D.I.", Title: "The water-culture method for growing plants without soil, California Agricultural Experiment Station Circular 347", Year: "1950", Where: "solution 2", Note: "volumes of the stocks read in secondary copies, mg/L from memory"},
		{ID: "steiner", Author: "Steiner, A.A.", Title: "The universal nutrient solution, Proc. 6th Int. Congress on Soilless Culture, 633-649", Year: "1984", Note: "from memory; balanced by construction"},
		{ID: "yamazaki", Author: "Yamazaki, K.", Title: "Nutrient solutions after the uptake of the crop, lettuce", Note: "from memory"},
		{ID: "resh_book", Author: "Resh, H.M.", Title: "Hydroponic Food Production", Where: "lettuce on rafts", Note: "from memory; figures vary between editions"},
		{ID: "floating_trial", Author: "Eastern New Mexico University group", Title: "Effects of nutrient composition and lettuce cultivar in a floating system, Horticulturae 5(4):72", Year: "2019", Where: "treatments N1 to N4", Note: "abstract read"},
		{ID: "nh4_study", Author: "authors not on the page read", Title: "Growth and development of lettuce plants at high NH4:NO3 ratios in the nutrient solution", Year: "2006", Where: "limit of 9 to 12 % of nitrogen; standard solution", Note: "abstract read; year from memory. As a standing concentration about 1 to 1.5 mmol/L, 14 to 20 mg/L N. A closed pumice culture grew best at 30 %, where the ammonium was used up in days"},
		{ID: "urea_ratio_study", Author: "Shahrekord University group", Title: "Urea to nitrate ratios for red French lettuce, J. Soil & Plant Interactions", Where: "60 % tolerated, 50:50 advised", Note: "abstract read; another trial (J. Plant Nutr. 16:797, 1993) found lettuce badly adapted to urea alone"},
		{ID: "urea_nft", Author: "Aminuddin, H. et al.", Title: "Urea as the nitrogen source in NFT, Pertanika J. Trop. Agric. Sci. 16(2)", Year: "1993", Where: "hydrolysis from day 7, complete by day 20", Note: "abstract read"},
		{ID: "chelate_leaflet", Author: "Argo & Fisher, as quoted in a grower leaflet", Title: "Upper pH limits of iron chelates: EDTA 7.0, DTPA 7.5, EDDHA 9 and more", Note: "leaflet read; HEDTA 6.5 from memory"},
		{ID: "crc_solubility", Author: "Handbook tables of the CRC type", Title: "Solubility of salts in water at 10 and 20 C", Standing: Memory, Note: "from memory; monoammonium and diammonium phosphate at 20 C read. Stock tanks use at most three quarters, common practice"},
		{ID: "label_usual", Title: "Usual label analyses of graded fertilizers", Standing: Memory, Note: "from memory but for 20-20-20, whose forms are those of the chemistry reference, table e; the label on the bag decides"},
		{ID: "spoon_epsom", Author: "US drug labels for magnesium sulfate heptahydrate", Title: "Level teaspoons as a dose: 2 to 6 level teaspoons are 10 to 30 g", Where: "495 mg magnesium a teaspoon", Note: "labels read; 5.0 g a level teaspoon, 4.5 to 5.5"},
		{ID: "spoon_sheet", Author: "A fertilizer producer's data sheet", Title: "Estimated physical characteristics of fertilizer material", Where: "loose bulk densities", Note: "read"},
		{ID: "spoon_memory", Title: "Weights of level teaspoons of fertilizer powders", Standing: Memory, Note: "ranges from memory; fill varies by 10 to 20 % with packing, grain and damp (common practice)"},
	}
}
