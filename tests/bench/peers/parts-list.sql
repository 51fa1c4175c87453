CREATE TEMP TABLE weighs AS
  WITH RECURSIVE under(a,x) AS (SELECT "in",part FROM holds
    UNION SELECT u.a,h.part FROM under u CROSS JOIN holds h ON h."in"=u.x)
  SELECT u.a AS a, s.kind AS kind, s.weight AS weight FROM under u CROSS JOIN single s ON s.part=u.x;
CREATE TEMP TABLE rollup AS SELECT a,SUM(weight),MIN(weight),MAX(weight),COUNT(*) FROM weighs GROUP BY a;
CREATE TEMP TABLE unsealed AS SELECT a FROM weighs GROUP BY a HAVING SUM(kind='seal')=0;
