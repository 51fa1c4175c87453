CREATE TEMP TABLE same AS
  WITH RECURSIVE t(x,y) AS (
    SELECT a.child,b.child FROM parent a JOIN parent b ON b."of"=a."of" WHERE a.child<>b.child
    UNION SELECT a.child,b.child FROM t CROSS JOIN parent a ON a."of"=t.x CROSS JOIN parent b ON b."of"=t.y)
  SELECT * FROM t;
