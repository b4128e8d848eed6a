"""Recipes in schema.org's words, read as linked data by a general RDF library.

The library (rdflib) brings schema.org's list of terms. Which type has which property is held below;
UN/CEFACT Recommendation 20 gives the codes of the units and their sizes.
"""

import json

import pytest
from rdflib import RDF, Graph, Literal, URIRef
from rdflib.namespace import SDO

from kitchenkit.amounts import WORDS
from kitchenkit.exchange import recipe_text
from kitchenkit.schema_org import UNIT_CODES
from kitchenkit.units import Q, read_measure

# The library's own JSON-LD reader still makes a graph of a kind that the library has retired.
pytestmark = pytest.mark.filterwarnings("ignore:ConjunctiveGraph is deprecated:DeprecationWarning")

# schema.org's own context, as far as plain terms go: every term stands in its vocabulary.
CONTEXT = {"@vocab": str(SDO)}

# Type -> those of its properties that we write, its parents' among them (Recipe: HowTo,
# CreativeWork, Thing; HowToSupply: HowToItem, ListItem, Thing). Read in a copy of the vocabulary:
# supply of HowTo, value of QuantitativeValue and PropertyValue, suitableForDiet of Recipe. Read at
# second hand, in documentation made from it: HowToSupply, and the values that recipeYield and
# requiredQuantity take. The rest from memory, unverified.
PROPERTIES = {
    "Recipe": {
        *("recipeYield", "recipeIngredient", "supply", "citation"),
        *("name", "identifier", "description"),
    },
    "HowToSupply": {"requiredQuantity", "position", "name", "identifier", "description"},
    "QuantitativeValue": {"value", "unitCode", "unitText", "additionalProperty"},
    "PropertyValue": {"name", "value", "unitCode", "unitText", "measurementTechnique"},
    "CreativeWork": {"identifier"},
}

# UN/CEFACT Recommendation 20: common code -> size in m³ or kg, read in a transcription.
REC_20 = {
    "G21": 2.365882e-4,
    "G24": 1.478676e-5,
    "G25": 4.928922e-6,
    "OZA": 2.957353e-5,
    "PTL": 4.731765e-4,
    "QTL": 9.463529e-4,
    "GLL": 3.785412e-3,
    "OZI": 2.841306e-5,
    "PTI": 5.68261e-4,
    "MLT": 1e-6,
    "CLT": 1e-5,
    "DLT": 1e-4,
    "LTR": 1e-3,
    "MGM": 1e-6,
    "GRM": 1e-3,
    "KGM": 1.0,
    "ONZ": 0.02834952,
    "LBR": 0.45359237,
}


def graph_of(recipe):
    data = json.loads(recipe_text(recipe))
    assert data["@context"] == "https://schema.org"
    graph = Graph()
    graph.parse(data=json.dumps(data | {"@context": CONTEXT}), format="json-ld")
    return graph


def known(term):
    """Whether the library's list of schema.org's terms has it."""
    return term.startswith(str(SDO)) and term.removeprefix(str(SDO)) in SDO


@pytest.fixture(params=[1, 1.7, 1 / 3], ids=["as written", "larger", "smaller"])
def recipe(request, base):
    return base.scale(by=request.param)


def test_every_term_is_one_of_schema_orgs(recipe):
    graph = graph_of(recipe)
    assert len(graph) > 80
    for subject, predicate, _ in graph:
        if predicate == RDF.type:
            continue
        kind = graph.value(subject, RDF.type)
        assert known(predicate), predicate
        assert known(kind), kind
        assert predicate.removeprefix(str(SDO)) in PROPERTIES[kind.removeprefix(str(SDO))]


def test_the_library_would_see_a_word_that_is_none_of_theirs():
    assert known(URIRef(f"{SDO}recipeYield"))
    assert not known(URIRef(f"{SDO}recipeSpoons"))
    assert not known(URIRef("http://example.org/recipeYield"))


def test_nothing_is_claimed_of_diets_or_nutrition(recipe):
    graph = graph_of(recipe)
    for term in (SDO.suitableForDiet, SDO.nutrition):
        assert (None, term, None) not in graph


def test_the_same_recipe_comes_out_of_the_triples(kit, recipe):
    """No code of ours reads here: only the triples, the kit's ingredients and units."""
    graph = graph_of(recipe)
    node = graph.value(predicate=RDF.type, object=SDO.Recipe)

    def word(subject, term):
        found = graph.value(subject, term)
        return found.toPython() if isinstance(found, Literal) else found

    assert word(node, SDO.name) == recipe.name
    assert word(node, SDO.identifier) == recipe.key
    assert word(node, SDO.description) == recipe.note
    assert word(graph.value(node, SDO.citation), SDO.identifier) == recipe.source

    made = next(x for x in graph.objects(node, SDO.recipeYield) if not isinstance(x, Literal))
    assert word(made, SDO.value) == recipe.servings
    assert word(made, SDO.unitText) == recipe.serving
    batter = graph.value(made, SDO.additionalProperty)
    assert word(batter, SDO.value) == recipe.density_kg_m3
    assert word(batter, SDO.measurementTechnique) == recipe.density_basis
    assert word(batter, SDO.unitCode) == "KMQ"

    supplies = sorted(graph.objects(node, SDO.supply), key=lambda x: word(x, SDO.position))
    assert len(supplies) == len(recipe.lines)
    for supply, line in zip(supplies, recipe.lines, strict=True):
        assert kit.ingredients[word(supply, SDO.identifier)] is line.ingredient
        assert word(supply, SDO.name) == line.ingredient.name
        assert (word(supply, SDO.description) or "") == line.note
        amount = graph.value(supply, SDO.requiredQuantity)
        unit = read_measure(f"1 {word(amount, SDO.unitText)}").units
        assert unit == line.amount.units
        # Numbers lose their last digits in RDF: JSON-LD 1.1 writes a double with 15 decimals.
        assert word(amount, SDO.value) == pytest.approx(line.amount.magnitude, rel=1e-15, abs=0)


@pytest.mark.parametrize("unit", [unit for unit in UNIT_CODES if unit != "each"])
def test_the_units_have_the_sizes_that_their_codes_stand_for(unit):
    size = REC_20[UNIT_CODES[unit]]
    si = "kg" if Q(1, unit).check("[mass]") else "m**3"
    digits = len(f"{size:.12g}".split("e")[0].replace(".", "").strip("0"))
    half_a_digit = 0.5 * 10 ** -(digits - 1)
    assert Q(1, unit).m_as(si) == pytest.approx(size, rel=max(half_a_digit, 1e-12))


def test_pieces_have_a_code_and_what_has_none_is_in_words():
    # H87, piece: the European Union's list of measurement units for notices, read.
    assert UNIT_CODES["each"] == "H87"
    assert set(WORDS) - set(UNIT_CODES) == {"pinch", "dash", "stick", "metric_cup"}
