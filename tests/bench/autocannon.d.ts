declare module 'autocannon' {
  interface Result {
    errors: number;
    '4xx': number;
    '5xx': number;
    requests: { average: number };
  }
  export default function autocannon(options: {
    url: string;
    headers?: Record<string, string>;
    connections: number;
    duration: number;
  }): Promise<Result>;
}
