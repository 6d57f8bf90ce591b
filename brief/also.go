package brief

import (
	"strings"

	"raftwright/unit"
)

// also gives the other names of the words of a brief: as we print them, and in Spanish. A
// brief may be written in either, whatever its language; a test reads all that is printed.
var also = map[string][]string{
	"home":       {"casa", "hogar"},
	"school":     {"escuela"},
	"community":  {"community garden", "comunidad", "comunitario", "jardín comunitario", "huerto comunitario"},
	"market":     {"market farm", "mercado", "granja que vende en el mercado"},
	"none":       {"ninguno", "ninguna", "no"},
	"visit":      {"visitan", "de visita"},
	"live here":  {"viven aquí"},
	"open":       {"open bed", "abierto", "abierta", "al aire libre", "cama al aire libre"},
	"closed":     {"cerrado", "cerrada"},
	"shade":      {"sombra", "malla sombra"},
	"tunnel":     {"túnel"},
	"greenhouse": {"invernadero"},
	"mains":      {"corriente", "red eléctrica"},
	"battery":    {"batería", "pila"},
	"frame":      {"lumber frame with a liner", "marco", "marco de madera con forro"},
	"round":      {"round tank", "redondo", "redonda", "tanque redondo"},
	"tub":        {"tina"},
	"tie":        {"tie under the liner", "tirante", "tirante bajo el forro"},
	"stake":      {"estaca"},
	"clay":       {"arcilla"},
	"sand":       {"arena"},
	"gravel":     {"grava"},
	"soft":       {"soft water", "blando", "blanda", "agua blanda"},
	"hard":       {"hard water", "duro", "dura", "agua dura"},
	"rain":       {"rain water", "lluvia", "agua de lluvia"},
	"lumber":     {"madera", "tablas"},
	"plywood":    {"plywood walls", "madera contrachapada", "contrachapado", "paredes de madera contrachapada"},
	"block":      {"concrete block walls", "bloque", "bloques", "paredes de bloque de concreto"},
	"salvage":    {"used wood, pallets, landscape ties or fence boards", "madera usada", "madera usada, tarimas, vigas de jardín o tablas de cerca"},
	"ground":     {"suelo", "tierra"},
	"deck":       {"terraza", "terraza de madera"},
	"floor":      {"piso"},
	"roof":       {"techo", "azotea"},
	"square":     {"cuadrado", "en cuadro"},
	"staggered":  {"alternado"},
	"best":       {"as many as fit", "mejor", "tantos como quepan"},
	"metric":     {"métrico", "métricas", "métrica"},
	"us":         {"estadounidenses", "inglesas"},
	"en":         {"english", "inglés"},
	"es":         {"spanish", "español"},
	"white":      {"roots white", "blancas", "raíces blancas"},
	"cream":      {"roots cream", "color crema", "raíces color crema"},
	"brown":      {"roots brown and firm", "cafés", "marrones", "raíces cafés y firmes"},
	"slimy":      {"roots slimy", "babosas", "raíces babosas"},
	"water":      {"agua"},
	"on":         {"encendido", "encendida"},
	"off":        {"apagado", "apagada"},
	"sulfuric":   {"sulfuric acid", "sulfúrico", "ácido sulfúrico"},
	"nitric":     {"nitric acid", "nítrico", "ácido nítrico"},
	"phosphoric": {"phosphoric acid", "fosfórico", "ácido fosfórico"},
	"citric":     {"citric acid", "cítrico", "ácido cítrico"},
	"nursery":    {"semillero", "vivero"},
	"raft":       {"balsa"},
	"yes":        {"true", "sí"},
	"no":         {"false"},
	"spoons":     {"cucharas"},
	"packs":      {"paquetes", "envases"},
	"scale":      {"báscula", "balanza"},
	"sun":        {"sunday", "domingo", "do"},
	"mon":        {"monday", "lunes", "lu"},
	"tue":        {"tuesday", "martes", "ma"},
	"wed":        {"wednesday", "miércoles", "mi"},
	"thu":        {"thursday", "jueves", "ju"},
	"fri":        {"friday", "viernes", "vi"},
	"sat":        {"saturday", "sábado", "sá"},
	"auto":       {"automático"},
}

// means tells whether a text is a word or one of its other names.
func means(text, word string) bool {
	text, word = unit.Fold(text), unit.Fold(word)
	if text == word {
		return true
	}
	for _, name := range also[word] {
		if unit.Fold(name) == text {
			return true
		}
	}
	return false
}

// starts takes a word or one of its other names, the longest, from the front of a text.
func starts(text, word string) (rest string, ok bool) {
	fields := strings.Fields(text)
	for n := len(fields); n > 0; n-- {
		if means(strings.Join(fields[:n], " "), word) {
			return strings.Join(fields[n:], " "), true
		}
	}
	return text, false
}
