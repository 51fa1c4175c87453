% One question at a time, from what it asks about: what a language that works backwards does.
inputs([part,bore,feature,unit,slot,follows,limits,hazard,asked]).
outputs([leak/5,misfit/4,fits/1]).
:- dynamic leak/5, misfit/4, fits/1.
sits(_,S,S,P,P) :- S \== 0, !.
sits(A,S,_,_,P) :- slot(A,S,P).
place(A,T,R,S0,X0,S,P,K,X,Y) :-
  sits(A,S0,T,R,P0), part(P0,K0,W), Y0 is X0+W,
  ( S = S0, P = P0, K = K0, X = X0, Y = Y0 ; follows(S0,S1), place(A,T,R,S1,Y0,S,P,K,X,Y) ).
fault_of(A,T,R,Fault) :-
  unit(A,H,X0), place(A,T,R,1,X0,S,P,K,X,Y),
  ( feature(P,F,seal,U,V,_), feature(H,G,Kind,B,E,_), hazard(Kind),
    By is min(X+V,E) - max(X+U,B), By > 0, Fault = leak(S,F,G,By)
  ; bore(P,D), limits(K,Least,Most), feature(H,G,land,U,V,O), X < V, U < Y,
    C is D-O, ( C < Least -> true ; C > Most ), Fault = misfit(S,G,C) ).
faults_of(A,T,R,Faults) :- findall(F, fault_of(A,T,R,F), Faults).
keep(Q, leak(S,F,G,By)) :- assertz(leak(Q,S,F,G,By)).
keep(Q, misfit(S,G,C)) :- assertz(misfit(Q,S,G,C)).
evaluate :-
  forall(asked(Q,A,T,R), ( faults_of(A,T,R,Fs), forall(member(F,Fs), keep(Q,F)),
                           ( Fs == [] -> assertz(fits(Q)) ; true ) )).
