/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_COULD_STAND_H
#define WHYFIT_COULD_STAND_H

#include "knowledge.h"

/*
 * What may stand in a place of a unit, as far as the loaded facts go, and what of it a
 * line may name. A line may name a feature that only another part for the place has, so
 * one that the shipped part lacks is not yet misspelt.
 */
struct place_word {
    name_id place;
    name_id shipped; /* what stands there as written; NAME_NONE: it is left empty */
};

/* Whether a part or unit has a feature of this class; a unit has the faces it offers. */
bool with_has(const struct knowledge *knowledge, name_id with, enum feature_class wanted,
              name_id feature);
/* Whether what is shipped there has it, or another that could stand there: a part or unit
 * whose kind has the same topmost kind, or one that some line of the facts puts in a
 * place of this name. In a place that is left empty any part could stand. */
bool could_have(const struct knowledge *knowledge, struct place_word place,
                enum feature_class wanted, name_id feature);
/* The same of a length that kinds keep of the part itself, such as a step. */
bool could_have_field(const struct knowledge *knowledge, struct place_word place,
                      text field);
/* Offers the lengths that any kind keeps of a part itself. */
void offer_lengths(const struct knowledge *knowledge, struct nearest *near);

/* What lines of the loaded units and parts put in places of this name, each as often as
 * it stands there. */
typedef void visit_with(void *context, name_id with);
void visit_named(const struct knowledge *knowledge, name_id place, visit_with *visit,
                 void *context);
/* Whether two parts or units are of kinds with the same topmost kind. */
bool same_family(const struct knowledge *knowledge, name_id a, name_id b);
/* The kind of a part or unit; NULL where nobody says it. */
const struct kind *kind_of_with(const struct knowledge *knowledge, name_id with);

/* Offers the features of a part or unit, or of all that could stand in a place. */
void offer_features(const struct knowledge *knowledge, name_id with,
                    enum feature_class wanted, struct nearest *near);
void offer_all_features(const struct knowledge *knowledge, struct place_word place,
                        enum feature_class wanted, struct nearest *near);
/* "in, out, bore": the features of a part or unit; empty when it has none. */
text list_features(struct arena *arena, const struct knowledge *knowledge, name_id with,
                   enum feature_class wanted);

#endif
