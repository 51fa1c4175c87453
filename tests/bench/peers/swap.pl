inputs([part,bore,feature,unit,slot,follows,limits,hazard]).
outputs([leak/5,misfit/4,fits/1,faults/2,worst/2]).
:- table begins/3.
:- dynamic leak/5, misfit/4, fits/1, faults/2, worst/2.
begins(A,1,X) :- unit(A,_,X).
begins(A,T,Y) :- begins(A,S,X), slot(A,S,P), part(P,_,W), follows(S,T), Y is X+W.
placed(A,H,S,P,K,X,Y) :- begins(A,S,X), slot(A,S,P), part(P,K,W), unit(A,H,_), Y is X+W.
leaks(A,S,F,G,By) :-
  placed(A,H,S,P,_,X,_), feature(P,F,seal,U,V,_), feature(H,G,K,B,E,_), hazard(K),
  By is min(X+V,E) - max(X+U,B), By > 0.
misfits(A,S,G,C) :-
  placed(A,H,S,P,K,X,Y), bore(P,D), limits(K,L,T), feature(H,G,land,U,V,O), X < V, U < Y,
  C is D-O, ( C < L -> true ; C > T ).
fault(A,leak,S,G) :- leak(A,S,_,G,_).
fault(A,misfit,S,G) :- misfit(A,S,G,_).
evaluate :-
  forall(leaks(A,S,F,G,O), assertz(leak(A,S,F,G,O))),
  forall(misfits(A,S,G,C), assertz(misfit(A,S,G,C))),
  forall(( unit(A,_,_), \+ fault(A,_,_,_) ), assertz(fits(A))),
  forall(unit(A,_,_), ( aggregate_all(count, fault(A,_,_,_), N), assertz(faults(A,N)) )),
  forall(unit(A,_,_), ( aggregate_all(max(O), leak(A,_,_,_,O), M) -> assertz(worst(A,M)) ; true )).
